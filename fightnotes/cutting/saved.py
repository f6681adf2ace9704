"""A cut list as a small YAML file that a person edits and reorders.

It names moments, not frames: each by its place in a note, its time as written and its words, so that it is found
again after the notes were edited. Order is the order of the file.
"""

from __future__ import annotations

import hashlib
from io import StringIO
from pathlib import Path

from ruamel.yaml import YAML
from ruamel.yaml.comments import CommentedMap

from fightnotes.clock import Timecode, format_timecode, parse_timecode
from fightnotes.cutting.cuts import Candidate, CutList, one_line
from fightnotes.editing.atomic import write_file
from fightnotes.errors import Problem, UnreadableFile
from fightnotes.model import Handles, Record, Segment
from fightnotes.model.cautions import CAUTIONS
from fightnotes.reading.placed_yaml import Item, Reporter, items_of, mapping_of, parsed, read_yaml, text_of, truth
from fightnotes.reading.values import handles_from, place_of, written_seconds

_HEAD = """\
A cut list. Cuts play in this order: move, delete or edit entries as you like. Overlapping ones are joined.
at: file and line of the note; time and words: as written there. They find the moment again when the line has moved.
Optional for each cut: title, and handles {before, after} in seconds. Of an entry by hand at is enough.
"""
_SAVED = "# As it was saved: "
"""Before a digest of what follows, which tells whether the list was edited."""
_LONGEST_WORDS = 200


class SavedMoment(Record):
    file: str
    """Relative to the library, with forward slashes."""
    line: int
    """From 1, as it was when the list was saved."""
    time: str | None
    """As written in the note."""
    words: str
    """The text of the note, on one line, at most 200 characters of it."""
    title: str | None = None
    handles: Handles | None = None

    @property
    def place(self) -> str:
        """`file:line`"""
        return f"{self.file}:{self.line}"

    @property
    def called(self) -> str:
        """In a few words."""
        return self.title or self.words or self.place


class SavedList(Record):
    title: str
    handles: Handles
    inside_round: bool = False
    reel_start: Timecode | None = None
    moments: tuple[SavedMoment, ...]


def to_save(cut_list: CutList) -> SavedList:
    """The moments of the cuts, in the order of the cuts."""
    return SavedList(
        title=cut_list.title,
        handles=cut_list.handles,
        inside_round=cut_list.inside_round,
        reel_start=cut_list.reel_start,
        moments=tuple(saved_moment(moment.candidate) for cut in cut_list.cuts for moment in cut.moments),
    )


def words_of(segment: Segment) -> str:
    return one_line(segment.text)[:_LONGEST_WORDS]


def write_saved(saved: SavedList, path: Path) -> None:
    """Raises FightnotesError where the file cannot be written."""
    write_file(path, text_of_saved(saved).encode())


def text_of_saved(saved: SavedList) -> str:
    """The whole file, as `write_saved` writes it."""
    document = CommentedMap(title=saved.title, handles=_handles_written(saved.handles))
    if saved.inside_round:
        document["inside_round"] = True
    if saved.reel_start:
        document["reel_start"] = format_timecode(saved.reel_start)
    document["cuts"] = [_entry(moment) for moment in saved.moments]
    document.yaml_set_start_comment(_HEAD + "\n".join(CAUTIONS))
    text = _dumped(document)
    return f"{_SAVED}{_digest(text)}\n{text}"


def entry_text(moment: SavedMoment) -> str:
    """One entry as it stands below `cuts:`, indented by two, with LF at the end of each line."""
    _, _, entry = _dumped(CommentedMap(cuts=[_entry(moment)])).partition("\n")
    return entry


def _dumped(document: CommentedMap) -> str:
    out = StringIO()
    yaml = YAML()
    yaml.width = 110
    yaml.indent(mapping=2, sequence=4, offset=2)
    yaml.dump(document, out)
    return out.getvalue()


def is_saved(path: Path) -> bool:
    """Whether the file is there and is a cut list that `write_saved` made, edited since or not."""
    if not path.is_file():
        return False
    with path.open("rb") as file:
        return file.read(len(_SAVED)) == _SAVED.encode()


def as_saved(path: Path) -> bool:
    """Whether the file is a cut list that nobody edited since `write_saved` made it."""
    if not is_saved(path):
        return False
    first, _, rest = path.read_bytes().partition(b"\n")
    return first.decode("utf-8", "replace") == f"{_SAVED}{_digest(rest.decode('utf-8', 'replace'))}"


def _digest(text: str) -> str:
    return hashlib.sha256(text.encode()).hexdigest()[:16]


def read_saved(
    path: Path,
    handles: Handles = Handles(),  # noqa: B008 (immutable)
) -> tuple[SavedList, tuple[Problem, ...]]:
    """The list and what is wrong in it; a wrong entry is left out, the rest is read. Its handles are `handles` where it
    gives none.

    Raises UnreadableFile where there is no such file, or no text in it.
    """
    try:
        text = path.read_text(encoding="utf-8-sig")
    except (OSError, UnicodeDecodeError) as error:
        found = (error.strerror or "no file") if isinstance(error, OSError) else "bytes that are no UTF-8"
        raise UnreadableFile(Problem(path.as_posix(), 0, 0, found, "a saved cut list")) from error
    return saved_of_text(text, path.as_posix(), handles)


def saved_of_text(text: str, file: str, handles: Handles) -> tuple[SavedList, tuple[Problem, ...]]:
    """As `read_saved`, of the text of a file that is called `file` in what is wrong."""
    reporter = Reporter(file)
    root = read_yaml(text, reporter)
    known = mapping_of(root, ("title", "handles", "inside_round", "reel_start", "cuts"), reporter) if root else {}
    handles = handles_from(known.get("handles"), handles, reporter)
    entries = items_of(known["cuts"], reporter) if "cuts" in known else ()
    if "cuts" not in known and not reporter.problems:
        reporter.at(1, 1, "no cuts", "a list of cuts under cuts:")
    saved = SavedList(
        title=text_of(known.get("title"), reporter) or "Cut list",
        handles=handles,
        inside_round=parsed(known.get("inside_round"), truth, "true or false", reporter) or False,
        reel_start=parsed(known.get("reel_start"), parse_timecode, "a timecode such as 01:00:00:00", reporter),
        moments=tuple(moment for entry in entries if (moment := _moment(entry, handles, reporter))),
    )
    return saved, tuple(reporter.problems)


def saved_moment(candidate: Candidate) -> SavedMoment:
    segment = candidate.segment
    return SavedMoment(
        file=segment.file,
        line=segment.line,
        time=segment.written_time,
        words=words_of(segment),
        title=candidate.title,
        handles=candidate.handles,
    )


def _entry(moment: SavedMoment) -> CommentedMap:
    handles = moment.handles and _handles_written(moment.handles)
    entry = CommentedMap(at=moment.place, time=moment.time, words=moment.words, title=moment.title, handles=handles)
    return CommentedMap((key, value) for key, value in entry.items() if value is not None)


def _handles_written(handles: Handles) -> CommentedMap:
    written = CommentedMap(before=written_seconds(handles.before), after=written_seconds(handles.after))
    written.fa.set_flow_style()
    return written


def _moment(entry: Item, handles: Handles, reporter: Reporter) -> SavedMoment | None:
    known = mapping_of(entry, ("at", "time", "words", "title", "handles"), reporter)
    place = parsed(known.get("at"), place_of, "file:line, such as bouts/a.md:12", reporter)
    words = text_of(known.get("words"), reporter)
    if place is None:
        if "at" not in known and entry.entries is not None:
            reporter.of(entry, "at: file:line")
        return None
    return SavedMoment(
        file=place[0],
        line=place[1],
        time=text_of(known.get("time"), reporter),
        words=words or "",
        title=text_of(known.get("title"), reporter),
        handles=handles_from(known["handles"], handles, reporter) if "handles" in known else None,
    )
