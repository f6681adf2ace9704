"""A whole library: where its files are, and what each bout's files say."""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial
from pathlib import Path

from fightnotes.errors import LibraryNotFound, Problem, UnreadableFile
from fightnotes.model import Bout, Segment, Settings, Source, Vocabulary
from fightnotes.reading.file_names import BOUTS_FOLDER, SETTINGS_FILE, VOCABULARY_FILE
from fightnotes.reading.front_matter import bout_from
from fightnotes.reading.note_blocks import NoteText, front_of, read_blocks
from fightnotes.reading.note_marks import NoteContext
from fightnotes.reading.note_segments import segments_of
from fightnotes.reading.opening import WITHIN, allowed_folders, leads_outside
from fightnotes.reading.placed_yaml import Reporter, read_yaml
from fightnotes.reading.refusals import read_rejected_terms
from fightnotes.reading.settings_file import read_settings
from fightnotes.reading.stances import StanceChange, with_stances
from fightnotes.reading.text_file import decode, printable, read_bytes, relative
from fightnotes.reading.timing import close_ends
from fightnotes.reading.transcript import speech_segments
from fightnotes.reading.vocabulary_file import read_vocabulary


@dataclass(frozen=True)
class Configuration:
    """What every bout of a library is read against."""

    settings: Settings
    vocabulary: Vocabulary
    problems: tuple[Problem, ...]
    refused: frozenset[str] = frozenset()
    """Forms, folded, that a person said are no mishearings, with other terms that were refused."""


@dataclass(frozen=True)
class BoutFiles:
    """What a library has of bouts, and what of it could not be looked at."""

    files: tuple[str, ...]
    """In order of path."""
    unseen: tuple[str, ...]
    """Folders that cannot be read; what they hold is not known to be gone."""
    problems: tuple[Problem, ...]


@dataclass(frozen=True)
class BoutReading:
    """What one bout's files say; `bout` is None where its own file cannot be read."""

    bout: Bout | None
    segments: tuple[Segment, ...]
    problems: tuple[Problem, ...]


@dataclass(frozen=True)
class LibraryReading:
    """A library read whole, without its store."""

    root: Path
    settings: Settings
    vocabulary: Vocabulary
    bouts: tuple[Bout, ...]
    segments: tuple[Segment, ...]
    problems: tuple[Problem, ...]

    @property
    def vocabulary_problems(self) -> tuple[Problem, ...]:
        return tuple(problem for problem in self.problems if problem.file == VOCABULARY_FILE)


def find_root(start: Path) -> Path:
    """The nearest folder from `start` upwards that holds a `library.yaml`. Raises LibraryNotFound."""
    for folder in (start.resolve(), *start.resolve().parents):
        if (folder / SETTINGS_FILE).is_file():
            return folder
    hint = "name the library with --library DIR, or make one with `fightnotes start`"
    raise LibraryNotFound(f"no {SETTINGS_FILE} in {start} or a folder above it: {hint}")


def read_configuration(root: Path) -> Configuration:
    """Settings and vocabulary; a file that is missing stands for its defaults."""
    problems: list[Problem] = []
    settings, vocabulary = Settings(), Vocabulary()
    text = _optional_text(root, SETTINGS_FILE, allowed_folders(root), problems)
    if text is not None:
        settings, found = read_settings(text, SETTINGS_FILE)
        problems.extend(found)
    text = _optional_text(root, VOCABULARY_FILE, allowed_folders(root, settings.media_roots), problems)
    if text is not None:
        vocabulary, found = read_vocabulary(text, VOCABULARY_FILE)
        problems.extend(found)
    try:
        refused = read_rejected_terms(root)
    except UnreadableFile as error:
        refused = frozenset()
        problems.append(error.problem)
    return Configuration(settings, vocabulary, tuple(problems), refused)


def bout_files(root: Path, folders: Sequence[Path]) -> BoutFiles:
    """Everything below `bouts/` that is named as Markdown; what begins with a dot is left out.

    A folder that links lead to twice is walked once, and one that holds `bouts/` itself not again; one outside
    `folders` is reported and not walked, and so is one that cannot be read. A name that is not UTF-8 is reported.
    """
    found: list[str] = []
    unseen: list[str] = []
    problems: list[Problem] = []

    def not_readable(error: OSError) -> None:
        if os.path.lexists(error.filename):
            unseen.append(relative(root, Path(error.filename)))
            said = error.strerror or str(error)
            problems.append(Problem(printable(unseen[-1]), 0, 0, said, "a folder that can be read"))

    bouts = os.path.realpath(root / BOUTS_FOLDER)
    seen: set[str] = set()
    for folder, below, files in os.walk(root / BOUTS_FOLDER, onerror=not_readable, followlinks=True):
        real = os.path.realpath(folder)
        if real in seen or bouts.startswith(os.path.join(real, "")):
            below.clear()
            continue
        seen.add(real)
        if leads_outside(Path(folder), folders):
            problems.append(Problem(printable(relative(root, Path(folder))), 0, 0, f"a link to {real}", WITHIN))
            below.clear()
            continue
        named = [name for name in (*files, *below) if name.lower().endswith(".md") and not name.startswith(".")]
        found.extend(relative(root, Path(folder, name)) for name in named)
        below[:] = sorted(name for name in below if name not in named and not name.startswith("."))
    bad = [file for file in found if printable(file) != file]
    problems += [Problem(printable(file), 0, 0, "a file name that is not UTF-8", "one that is") for file in bad]
    return BoutFiles(tuple(sorted(set(found) - set(bad))), tuple(unseen), tuple(sorted(problems)))


def read_bout(root: Path, file: str, configuration: Configuration) -> BoutReading:
    """A bout's own notes and the sources that its front matter names, with every complaint about them."""
    reporter = Reporter(file)
    folders = allowed_folders(root, configuration.settings.media_roots)
    text = _text(root, file, folders, reporter)
    if text is None:
        return BoutReading(None, (), tuple(reporter.problems))
    note = read_blocks(text, reporter)
    bout = _bout_of(note, file, configuration, folders, reporter)
    own = Source(file=file, kind="notes", analyst=bout.analyst)
    context = NoteContext(bout, configuration.vocabulary, configuration.settings, reporter)
    segments, stances = segments_of(note.blocks, own, context)
    segments = close_ends(bout, segments, configuration.settings.default_length)
    problems = sorted(reporter.problems)
    for source in bout.sources:
        read, found = _read_source(root, source, bout, stances, configuration, folders)
        segments.extend(read)
        problems.extend(sorted(found))
    problems = _told_once(problems)
    return BoutReading(bout, tuple(segments), tuple(problems))


def read_bouts(root: Path, configuration: Configuration) -> tuple[Bout, ...]:
    """Every bout as its front matter gives it, its notes unread; of two with one id the first by path."""
    bouts: dict[str, Bout] = {}
    folders = allowed_folders(root, configuration.settings.media_roots)
    for file in bout_files(root, folders).files:
        reporter = Reporter(file)
        text = _text(root, file, folders, reporter)
        if text is not None:
            bout = _bout_of(read_blocks(front_of(text), reporter), file, configuration, folders, reporter)
            bouts.setdefault(bout.id, bout)
    return tuple(bouts.values())


def read_library(root: Path) -> LibraryReading:
    """Every bout of the library; of two with one id, the first by path is kept and the other reported."""
    configuration = read_configuration(root)
    walked = bout_files(root, allowed_folders(root, configuration.settings.media_roots))
    return gathered(root, configuration, walked, partial(read_bout, root, configuration=configuration))


def gathered(
    root: Path, configuration: Configuration, walked: BoutFiles, reading_of: Callable[[str], BoutReading]
) -> LibraryReading:
    """The readings of all bouts as one; `reading_of` gives that of a bout's file."""
    problems = [*configuration.problems, *walked.problems]
    bouts: dict[str, Bout] = {}
    segments: list[Segment] = []
    for file in walked.files:
        reading = reading_of(file)
        if reading.bout and reading.bout.id in bouts:
            problems.append(same_id(reading.bout, bouts[reading.bout.id].file))
            continue
        if reading.bout:
            bouts[reading.bout.id] = reading.bout
        segments.extend(reading.segments)
        problems.extend(reading.problems)
    return LibraryReading(
        root=root,
        settings=configuration.settings,
        vocabulary=configuration.vocabulary,
        bouts=tuple(bouts.values()),
        segments=tuple(segments),
        problems=tuple(problems),
    )


def same_id(bout: Bout, first_file: str) -> Problem:
    """The complaint about a second bout with an id that `first_file` has already; it is not read further."""
    found = f"bout id '{bout.id}', which {first_file} has already"
    return Problem(bout.file, *bout.id_place, found, "an id of its own")


def _bout_of(
    note: NoteText, file: str, configuration: Configuration, folders: Sequence[Path], reporter: Reporter
) -> Bout:
    matter = read_yaml(note.front_matter, reporter, note.front_matter_line) if note.front_matter else None
    return bout_from(matter, file, configuration.settings, folders, reporter)


def _read_source(
    root: Path,
    source: Source,
    bout: Bout,
    stances: list[StanceChange],
    configuration: Configuration,
    folders: Sequence[Path],
) -> tuple[list[Segment], list[Problem]]:
    """`stances` are the changes that the bout's own notes give."""
    reporter = Reporter(source.file)
    text = _text(root, source.file, folders, reporter)
    if text is None:
        return [], reporter.problems
    longest = configuration.settings.default_length
    if source.kind == "notes":
        context = NoteContext(bout, configuration.vocabulary, configuration.settings, reporter)
        segments, _ = segments_of(read_blocks(text, reporter).blocks, source, context, stances)
    else:
        speech = speech_of(text, source, bout, configuration, reporter)
        segments, _ = with_stances(bout, speech, [()] * len(speech), stances)
    return close_ends(bout, segments, longest), reporter.problems


def speech_of(text: str, source: Source, bout: Bout, configuration: Configuration, reporter: Reporter) -> list[Segment]:
    """The moments of a transcript's text, those without an end left open; `draft` and `build` both go by them."""
    longest = configuration.settings.default_length
    return speech_segments(text, source, bout, configuration.vocabulary, longest, reporter, configuration.refused)


def _told_once(problems: list[Problem]) -> list[Problem]:
    """One problem of the bout's clock, in whichever of its files it shows first."""
    clock = [problem for problem in problems if problem.kind == "clock-direction"]
    return [problem for problem in problems if problem not in clock[1:]]


def _text(root: Path, file: str, folders: Sequence[Path], reporter: Reporter) -> str | None:
    """None where the file must not or cannot be read, which is reported."""
    if leads_outside(root / file, folders):
        reporter.at(0, 0, f"a link to {os.path.realpath(root / file)}", WITHIN)
        return None
    raw = read_bytes(root / file, reporter)
    return None if raw is None else decode(raw, reporter)


def _optional_text(root: Path, file: str, folders: Sequence[Path], problems: list[Problem]) -> str | None:
    if not os.path.lexists(root / file):
        return None
    reporter = Reporter(file)
    text = _text(root, file, folders, reporter)
    problems.extend(reporter.problems)
    return text
