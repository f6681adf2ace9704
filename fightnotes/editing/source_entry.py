"""The entry of a transcript among a bout's `sources`, changed to name the notes that were made of it; and new ones.

Every other byte of the bout's file stays; what comes out is read again before it is handed on.
"""

from __future__ import annotations

import json
import posixpath
import re
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path

from fightnotes.editing.line_edit import LineEdit, Offsets, Span, edited, edits_of, newline_of
from fightnotes.errors import Problem, UnreadableFile
from fightnotes.model import FOOTAGE, Bout, Recording, Settings, Source
from fightnotes.reading.front_matter import bout_from
from fightnotes.reading.note_blocks import NoteText, front_of, read_blocks
from fightnotes.reading.placed_yaml import Item, Reporter, items_of, read_yaml
from fightnotes.reading.text_file import decode

_QUOTED = re.compile(r"\"(?:[^\"\\\r\n]|\\[^\r\n])*\"|'(?:[^'\r\n]|'')*'")
_PLAIN_PATH = re.compile(r"[\w.][\w./-]*")
"""Paths that YAML reads as text without quotes, wherever they stand."""


def source_edits(
    bout: Bout, text: str, old: Source, new: Source, settings: Settings, folders: Sequence[Path], keep: bool = False
) -> tuple[LineEdit, ...]:
    """The edits of the bout's own file, whose text is `text`, that name `new` in the place of `old`, or with `keep`
    above it.

    Raises UnreadableFile where the entry is written so that it cannot be edited in place (over several lines, or with
    an alias).
    """
    listed = _value(_matter_of(text, bout.file), "sources")
    spans: list[Span] = []
    for item in items_of(listed, Reporter(bout.file)) if listed else ():
        keys = {key.text or "": value for key, value in item.entries} if item.entries else {"file": item}
        file = keys.get("file")
        if not spans and file is not None and file.text and _from_library(file.text, bout) == old.file:
            spans = list(_beside(text, listed, item, bout, [new]) if keep else _instead(text, keys, bout, new))
    sources = [each for source in bout.sources for each in ((new, old)[: 1 + keep] if source == old else (source,))]
    wanted = bout.model_copy(update={"sources": tuple(sources)})
    return _checked(bout, text, spans, wanted, _flow(new, bout), settings, folders)


def added_sources(
    bout: Bout,
    text: str,
    new: Sequence[Source],
    recording: tuple[str, str | None] | None,
    settings: Settings,
    folders: Sequence[Path],
) -> tuple[LineEdit, ...]:
    """The edits that name further sources above the others, and a first recording beside the footage, by its name and
    file, where one is given. Raises UnreadableFile as `source_edits` does."""
    matter = _matter_of(text, bout.file)
    listed, newline = _value(matter, "sources"), newline_of(text)
    end = Offsets(text).of(max(_front_of(text, bout.file).front_matter_end, 1), 1)
    lines, recordings = "", dict(bout.recordings)
    spans: list[Span] = []
    if recording is not None:
        name, file = recording
        lines = f"recordings: {{{name}: {{{f'file: {_like(str(), file)}' if file else ''}}}}}{newline}"
        recordings[name] = Recording(file=file)
    first = next(iter(items_of(listed, Reporter(bout.file))), None) if listed else None
    if first is not None:
        spans += _beside(text, listed, first, bout, new)
    else:
        lines += f"sources:{newline}" + "".join(f"  - {_flow(source, bout)}{newline}" for source in new)
    if lines:
        spans.append(Span(end, end, lines))
    wanted = bout.model_copy(update={"sources": (*new, *bout.sources), "recordings": recordings})
    return _checked(bout, text, spans, wanted, ", ".join(_flow(each, bout) for each in new), settings, folders)


def _checked(
    bout: Bout,
    text: str,
    spans: Iterable[Span],
    wanted: Bout,
    by_hand: str,
    settings: Settings,
    folders: Sequence[Path],
) -> tuple[LineEdit, ...]:
    """The edits, where a reader then finds the bout that is wanted."""
    edits = edits_of(bout.file, text, spans)
    if (
        bout_from(_matter_of(edited(bout.file, text, edits), bout.file), bout.file, settings, folders, Reporter(""))
        == wanted
    ):
        return edits
    item = _value(_matter_of(text, bout.file), "sources")
    found = "sources that cannot be edited in place"
    expected = f"an entry on lines of its own, or by hand: {by_hand}"
    raise UnreadableFile(Problem(bout.file, item.line if item else 1, item.column if item else 1, found, expected))


def _instead(text: str, keys: dict[str, Item], bout: Bout, new: Source) -> Iterator[Span]:
    """The file's name, and the kind where it is written."""
    kind = keys.get("kind")
    for item, value in ((keys["file"], _from_bout(new.file, bout)), (kind, new.kind)):
        if item is not None:
            start, stop = _scalar(text, item)
            yield Span(start, stop, _like(text[start:stop], value))


def _beside(text: str, listed: Item | None, item: Item, bout: Bout, new: Sequence[Source]) -> Iterator[Span]:
    """Above the item, in the way in which the list is written."""
    entries = [_flow(source, bout) for source in new]
    at = Offsets(text).of(item.line, item.column)
    if listed is item:  # one entry alone, without a list
        start, stop = _scalar(text, item)
        yield Span(start, stop, f"[{', '.join((*entries, text[start:stop]))}]")
        return
    begin = max(text.rfind("\n", 0, at), text.rfind("\r", 0, at)) + 1
    if re.fullmatch(r"[ \t]*-[ \t]+", text[begin:at]):
        yield Span(begin, begin, "".join(f"{text[begin:at]}{entry}{newline_of(text)}" for entry in entries))
    else:
        yield Span(at, at, "".join(f"{entry}, " for entry in entries))


def _scalar(text: str, item: Item) -> tuple[int, int]:
    """Where a text on one line begins and ends; the same offset twice for what stands otherwise."""
    start = Offsets(text).of(item.line, item.column)
    quoted = _QUOTED.match(text, start)
    if quoted:
        return start, quoted.end()
    written = item.text or ""
    return start, start + (len(written) if text.startswith(written, start) else 0)


def _like(old: str, value: str) -> str:
    """Without quotes where the old text had none and none are needed."""
    return value if _PLAIN_PATH.fullmatch(value) and not old.startswith(("'", '"')) else json.dumps(value)


def _flow(source: Source, bout: Bout) -> str:
    said = {
        "file": _from_bout(source.file, bout),
        "kind": source.kind,
        "analyst": source.analyst,
        "timed_on": source.timed_on if source.timed_on != FOOTAGE else None,
    }
    return "{" + ", ".join(f"{key}: {_like('', value)}" for key, value in said.items() if value) + "}"


def _from_bout(file: str, bout: Bout) -> str:
    return posixpath.relpath(file, posixpath.dirname(bout.file))


def _from_library(written: str, bout: Bout) -> str:
    return posixpath.normpath(posixpath.join(posixpath.dirname(bout.file), written.strip()))


def _value(matter: Item | None, key: str) -> Item | None:
    return next((value for each, value in (matter.entries or ()) if each.text == key), None) if matter else None


def _matter_of(text: str, file: str) -> Item | None:
    note = _front_of(text, file)
    return read_yaml(note.front_matter, Reporter(file), note.front_matter_line) if note.front_matter else None


def _front_of(text: str, file: str) -> NoteText:
    decoded = decode(text.encode("utf-8", "surrogateescape"), Reporter(file))
    return read_blocks(front_of(decoded or ""), Reporter(file))
