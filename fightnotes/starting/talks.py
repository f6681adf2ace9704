"""A caption file that is to be drafted as notes: where it lies, what it holds, which bout names it."""

from __future__ import annotations

import os
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path, PurePosixPath

from fightnotes.errors import Problem, UnreadableFile, UsageError
from fightnotes.model import Bout, Segment, Source
from fightnotes.reading.captions import READERS
from fightnotes.reading.drafted import drafts_in
from fightnotes.reading.file_names import BOUTS_FOLDER
from fightnotes.reading.library import Configuration, read_bouts, read_configuration, speech_of
from fightnotes.reading.opening import WITHIN, allowed_folders, leads_outside
from fightnotes.reading.placed_yaml import Reporter
from fightnotes.reading.text_file import printable, read_bytes, relative
from fightnotes.starting.encodings import UTF8, text_of_bytes

NOTES_FOLDER = "notes"


@dataclass(frozen=True)
class Talk:
    """A caption file, or timed text, of a spoken breakdown."""

    root: Path
    configuration: Configuration
    file: str
    """Relative to the library."""
    text: str
    """Without byte order mark."""
    encoding: str
    bouts: tuple[Bout, ...]
    """Of the library."""
    bout: Bout | None
    """That names it as a source."""
    drafted: str | None
    """The file of the notes that were made of it before."""

    @property
    def source(self) -> Source | None:
        return next((source for source in self.bout.sources if source.file == self.file), None) if self.bout else None

    @property
    def notes_file(self) -> str:
        """Where its notes go where nobody says: its own name, in the folder of the library's other sources of notes."""
        folders = Counter(str(PurePosixPath(source.file).parent) for source in _notes_of(self.bouts))
        one = len(folders) == 1 and not folders.keys() & {".", BOUTS_FOLDER}
        return f"{next(iter(folders)) if one else NOTES_FOLDER}/{PurePosixPath(self.file).stem}.md"


def find_talk(root: Path, path: Path) -> Talk:
    """The talk in a file that is named from the current folder or, where there is none, from the library's.

    Raises UsageError for one outside the library, of another kind or named by several bouts; UnreadableFile.
    """
    file = file_within(root, path if os.path.exists(path) else root / path, "sources lie within: copy it there")
    if PurePosixPath(file).suffix.lower() not in READERS:
        raise UsageError(f"{file}: expected captions or timed text, named *{', *'.join(READERS)}")
    configuration = read_configuration(root)
    bouts = read_bouts(root, configuration)
    naming = [(bout, source) for bout in bouts for source in bout.sources if source.file == file]
    if len(naming) > 1:
        names = ", ".join(bout.file for bout, _ in naming)
        raise UsageError(
            f"{file}: {len(naming)} bouts name it ({names}), and notes are of one: leave it to one of them"
        )
    if naming and naming[0][1].kind == "notes":
        raise UsageError(f"{file}: {naming[0][0].file} names it as notes, of which no draft is made")
    text, encoding = _text_of(root, file, configuration)
    bout = naming[0][0] if naming else None
    named = (each for bout in bouts for each in bout.files)
    drafted = drafts_in(root, named, allowed_folders(root, configuration.settings.media_roots)).get(file)
    return Talk(root, configuration, file, text, encoding, bouts, bout, drafted)


def moments_of(
    text: str, source: Source, bout: Bout, configuration: Configuration, reporter: Reporter
) -> list[Segment]:
    """What is said in a talk, as a build finds it: what has no time first, then in order of time."""
    moments = speech_of(text, source, bout, configuration, reporter)
    said = (one for one in moments if one.text.split())
    return sorted(said, key=lambda one: Fraction(-1) if one.start is None else one.start)


def file_within(root: Path, path: Path, hint: str) -> str:
    """A path as the models hold it, relative to the library. Raises UsageError for one outside."""
    file = relative(root, Path(os.path.realpath(path.parent), path.name))
    if file.startswith("../") or Path(file).is_absolute():
        raise UsageError(f"{path} lies outside the library {root}: {hint}, or name its library with --library")
    if printable(file) != file:
        raise UsageError(f"{printable(file)}: a file name that is not UTF-8, which no bout can name")
    return file


def notes_within(root: Path, path: Path | None) -> str | None:
    """Where notes shall go, from the current folder. Raises UsageError for a place outside the library."""
    return None if path is None else file_within(root, path, "what a bout names lies within: name a place there")


def _notes_of(bouts: Iterable[Bout]) -> Iterable[Source]:
    return (source for bout in bouts for source in bout.sources if source.kind == "notes")


def _text_of(root: Path, file: str, configuration: Configuration) -> tuple[str, str]:
    """Text and encoding; UTF-8 as a build reads it, any of the others as `start` does. Raises UnreadableFile."""
    if leads_outside(root / file, allowed_folders(root, configuration.settings.media_roots)):
        raise UnreadableFile(Problem(file, 0, 0, f"a link to {os.path.realpath(root / file)}", WITHIN))
    reporter = Reporter(file)
    raw = read_bytes(root / file, reporter)
    if raw is None:
        raise UnreadableFile(reporter.problems[0])
    try:
        return raw.decode("utf-8-sig"), UTF8
    except UnicodeDecodeError:
        found = text_of_bytes(raw)
    if found is None:
        raise UnreadableFile(Problem(file, 0, 0, "bytes that no encoding explains", "text"))
    return found.text, found.encoding
