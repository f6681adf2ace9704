"""A whole library: where its files are, and what each bout's files say."""

from __future__ import annotations

import os
from dataclasses import dataclass
from pathlib import Path

from fightnotes.errors import LibraryNotFound, Problem
from fightnotes.model import Bout, Segment, Settings, Source, Vocabulary
from fightnotes.reading.file_names import BOUTS_FOLDER, SETTINGS_FILE, VOCABULARY_FILE
from fightnotes.reading.front_matter import bout_from
from fightnotes.reading.note_blocks import NoteText, front_of, read_blocks
from fightnotes.reading.note_marks import NoteContext
from fightnotes.reading.note_segments import segments_of
from fightnotes.reading.placed_yaml import Reporter, read_yaml
from fightnotes.reading.settings_file import read_settings
from fightnotes.reading.stances import StanceChange, with_stances
from fightnotes.reading.text_file import decode, read_bytes, relative
from fightnotes.reading.timing import close_ends
from fightnotes.reading.transcript import speech_segments
from fightnotes.reading.vocabulary_file import read_vocabulary


@dataclass(frozen=True)
class Configuration:
    """What every bout of a library is read against."""

    settings: Settings
    vocabulary: Vocabulary
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
    text = _optional_text(root, SETTINGS_FILE, problems)
    if text is not None:
        settings, found = read_settings(text, SETTINGS_FILE)
        problems.extend(found)
    text = _optional_text(root, VOCABULARY_FILE, problems)
    if text is not None:
        vocabulary, found = read_vocabulary(text, VOCABULARY_FILE)
        problems.extend(found)
    return Configuration(settings, vocabulary, tuple(problems))


def bout_files(root: Path) -> list[str]:
    """Everything below `bouts/` that is named as Markdown, in order of path; what begins with a dot is left out.

    A folder that links lead to twice is walked once, and one that holds `bouts/` itself not again.
    """
    found: list[str] = []
    bouts = os.path.realpath(root / BOUTS_FOLDER)
    seen: set[str] = set()
    for folder, folders, files in os.walk(root / BOUTS_FOLDER, followlinks=True):
        real = os.path.realpath(folder)
        if real in seen or bouts.startswith(os.path.join(real, "")):
            folders.clear()
            continue
        seen.add(real)
        named = [name for name in (*files, *folders) if name.lower().endswith(".md") and not name.startswith(".")]
        found.extend(relative(root, Path(folder, name)) for name in named)
        folders[:] = sorted(name for name in folders if name not in named and not name.startswith("."))
    return sorted(found)


def read_bout(root: Path, file: str, configuration: Configuration) -> BoutReading:
    """A bout's own notes and the sources that its front matter names, with every complaint about them."""
    reporter = Reporter(file)
    text = _text(root, file, reporter)
    if text is None:
        return BoutReading(None, (), tuple(reporter.problems))
    note = read_blocks(text, reporter)
    bout = _bout_of(note, file, configuration, reporter)
    own = Source(file=file, kind="notes", analyst=bout.analyst)
    context = NoteContext(bout, configuration.vocabulary, configuration.settings, reporter)
    segments, stances = segments_of(note.blocks, own, context)
    segments = close_ends(bout, segments, configuration.settings.default_length)
    problems = sorted(reporter.problems)
    for source in bout.sources:
        read, found = _read_source(root, source, bout, stances, configuration)
        segments.extend(read)
        problems.extend(sorted(found))
    problems = _told_once(problems)
    return BoutReading(bout, tuple(segments), tuple(problems))


def read_bouts(root: Path, configuration: Configuration) -> tuple[Bout, ...]:
    """Every bout as its front matter gives it, its notes unread; of two with one id the first by path."""
    bouts: dict[str, Bout] = {}
    for file in bout_files(root):
        reporter = Reporter(file)
        text = _text(root, file, reporter)
        if text is not None:
            bout = _bout_of(read_blocks(front_of(text), reporter), file, configuration, reporter)
            bouts.setdefault(bout.id, bout)
    return tuple(bouts.values())


def read_library(root: Path) -> LibraryReading:
    """Every bout of the library; of two with one id, the first by path is kept and the other reported."""
    configuration = read_configuration(root)
    problems = list(configuration.problems)
    bouts: dict[str, Bout] = {}
    segments: list[Segment] = []
    for file in bout_files(root):
        reading = read_bout(root, file, configuration)
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


def _bout_of(note: NoteText, file: str, configuration: Configuration, reporter: Reporter) -> Bout:
    matter = read_yaml(note.front_matter, reporter, note.front_matter_line) if note.front_matter else None
    return bout_from(matter, file, configuration.settings, reporter)


def _read_source(
    root: Path, source: Source, bout: Bout, stances: list[StanceChange], configuration: Configuration
) -> tuple[list[Segment], list[Problem]]:
    """`stances` are the changes that the bout's own notes give."""
    reporter = Reporter(source.file)
    text = _text(root, source.file, reporter)
    if text is None:
        return [], reporter.problems
    longest = configuration.settings.default_length
    if source.kind == "notes":
        context = NoteContext(bout, configuration.vocabulary, configuration.settings, reporter)
        segments, _ = segments_of(read_blocks(text, reporter).blocks, source, context, stances)
    else:
        speech = speech_segments(text, source, bout, longest, reporter)
        segments, _ = with_stances(bout, speech, [()] * len(speech), stances)
    return close_ends(bout, segments, longest), reporter.problems


def _told_once(problems: list[Problem]) -> list[Problem]:
    """One problem of the bout's clock, in whichever of its files it shows first."""
    clock = [problem for problem in problems if problem.kind == "clock-direction"]
    return [problem for problem in problems if problem not in clock[1:]]


def _text(root: Path, file: str, reporter: Reporter) -> str | None:
    raw = read_bytes(root / file, reporter)
    return None if raw is None else decode(raw, reporter)


def _optional_text(root: Path, file: str, problems: list[Problem]) -> str | None:
    if not (root / file).exists():
        return None
    reporter = Reporter(file)
    text = _text(root, file, reporter)
    problems.extend(reporter.problems)
    return text
