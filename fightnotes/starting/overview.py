"""What the program understands of a library, in numbers, with what to do next. Needs no index."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from pathlib import Path

from fightnotes.errors import Problem, UnreadableFile
from fightnotes.model import FOOTAGE, Bout, Record, Segment, Settings
from fightnotes.reading.library import LibraryReading
from fightnotes.reading.opening import allowed_folders, find_footage
from fightnotes.starting.survey import Survey

_FIRST_PLACES = 3


class Group(Record):
    """Things of one kind, with where the first of them stand."""

    what: str
    count: int
    first: tuple[str, ...]
    """Files, or `file:line:column`; tags as they are named."""


class BoutCounts(Record):
    bouts: int
    without_date: int
    without_fighters: int
    """Bouts in which not both corners are named."""
    without_rounds: int
    without_bells: int
    fighters: tuple[str, ...]
    """Names, each person once, by the id."""


class NoteCounts(Record):
    files: int
    """Of notes and transcripts that were read."""
    timed: int
    untimed: int
    """Notes with and without a time."""
    spoken: int
    """Moments of transcripts."""
    with_media_time: int
    """Notes and moments of transcripts that have a place on a recording."""
    in_rounds: int
    """Those that are known to be of a round."""
    analysts: dict[str, int]
    """Notes of each, the most first; those of nobody named under an empty name."""


class TagCounts(Record):
    concepts: int
    """In the vocabulary."""
    tags: int
    """Tags in notes, repeated ones too."""
    known: int
    unknown: int
    """Of these, in the vocabulary and not."""
    unknown_names: tuple[Group, ...]
    """The commonest names that the vocabulary lacks, `what` being the tag."""
    untagged: int
    """Notes with a time and without a tag."""


class RecordingCounts(Record):
    named: int
    """Files of recordings that front matter names, each once."""
    found: int
    missing: tuple[str, ...]
    """As written in the front matter."""
    bouts_without: int
    """Bouts whose front matter names no footage."""


class Overview(Record):
    """A library as it is understood."""

    title: str
    bouts: BoutCounts
    notes: NoteCounts
    tags: TagCounts
    recordings: RecordingCounts
    problems: tuple[Group, ...]
    """What was found wrong, by kind, in words."""
    left_alone: tuple[Group, ...]
    """Files in the folder that belong to no bout, by reason."""
    next_steps: tuple[str, ...]
    unreadable: int
    """Problems by which a file, or a part of one, is not read."""


_KINDS = {
    "unreadable": "could not be read",
    "unknown-fighter": "names nobody in the bout",
    "unknown-value": "a word that the field does not have",
    "vocabulary-condition": "a breach of what a vocabulary must keep",
    "impossible-time": "a time that cannot be",
    "clock-direction": "round clocks that run the other way than the bout says",
}


def overview_of(reading: LibraryReading, survey: Survey, is_built: bool) -> Overview:
    """The numbers of a library as it was read, and of what lies beside it."""
    tags = _tags(reading)
    recordings, refused = _recordings(reading.bouts, reading.root, reading.settings)
    problems = (*reading.problems, *survey.unreadable, *refused)
    return Overview(
        title=reading.settings.title,
        bouts=_bouts(reading.bouts),
        notes=_notes(reading),
        tags=tags,
        recordings=recordings,
        problems=_problem_groups(problems),
        left_alone=_left_alone(reading, survey),
        next_steps=tuple(_next_steps(reading, survey, tags, is_built)),
        unreadable=sum(problem.kind == "unreadable" for problem in problems),
    )


def _bouts(bouts: Sequence[Bout]) -> BoutCounts:
    people = {fighter.id: fighter.name for bout in bouts for fighter in bout.fighters}
    return BoutCounts(
        bouts=len(bouts),
        without_date=sum(bout.date is None for bout in bouts),
        without_fighters=sum(len(bout.fighters) < 2 for bout in bouts),
        without_rounds=sum(bout.rounds is None for bout in bouts),
        without_bells=sum(not bout.bells for bout in bouts),
        fighters=tuple(sorted(people.values())),
    )


def _notes(reading: LibraryReading) -> NoteCounts:
    segments = reading.segments
    typed = [segment for segment in segments if segment.kind == "note"]
    by_analyst = Counter(segment.analyst or "" for segment in typed)
    return NoteCounts(
        files=len({file for bout in reading.bouts for file in bout.files if (reading.root / file).is_file()}),
        timed=sum(segment.timed for segment in typed),
        untimed=sum(not segment.timed for segment in typed),
        spoken=len(segments) - len(typed),
        with_media_time=sum(segment.start is not None for segment in segments),
        in_rounds=sum(segment.round is not None for segment in segments),
        analysts=dict(by_analyst.most_common()),
    )


def _tags(reading: LibraryReading) -> TagCounts:
    placed = [(tag, segment) for segment in reading.segments for tag in segment.tags]
    places: dict[str, list[str]] = {}
    for tag, segment in placed:
        if tag.concept is None:
            places.setdefault(tag.name, []).append(f"{segment.file}:{tag.line}:{tag.column}")
    groups = [Group(what=name, count=len(at), first=tuple(at[:_FIRST_PLACES])) for name, at in places.items()]
    unknown = sum(group.count for group in groups)
    return TagCounts(
        concepts=len(reading.vocabulary.concepts),
        tags=len(placed),
        known=len(placed) - unknown,
        unknown=unknown,
        unknown_names=tuple(sorted(groups, key=lambda group: (-group.count, group.what))),
        untagged=sum(_is_untagged(segment) for segment in reading.segments),
    )


def _is_untagged(segment: Segment) -> bool:
    return segment.kind == "note" and segment.timed and not segment.tags


def _recordings(bouts: Sequence[Bout], root: Path, settings: Settings) -> tuple[RecordingCounts, list[Problem]]:
    """With what is wrong with recordings that are there and must not be opened."""
    named = dict.fromkeys(file for bout in bouts for file in bout.recording_files)
    folders = allowed_folders(root, settings.media_roots)
    missing: list[str] = []
    refused: list[Problem] = []
    for file in named:
        try:
            if find_footage(file, folders) is None:
                missing.append(file)
        except UnreadableFile as error:
            refused.append(error.problem)
    counts = RecordingCounts(
        named=len(named),
        found=len(named) - len(missing) - len(refused),
        missing=tuple(missing),
        bouts_without=sum(bout.footage is None or bout.recordings[FOOTAGE].file is None for bout in bouts),
    )
    return counts, refused


def _problem_groups(problems: Iterable[Problem]) -> tuple[Group, ...]:
    return _grouped((_KINDS[problem.kind], str(problem)) for problem in problems)


def _left_alone(reading: LibraryReading, survey: Survey) -> tuple[Group, ...]:
    """What of the folder is in no bout; notes in `bouts/` are in one, with front matter or without."""
    named = {file for bout in reading.bouts for file in bout.files}
    notes = [note for note in survey.notes if note.file not in named]
    waiting = [(note.file, "notes of no bout yet" if note.likeness == "notes" else "perhaps notes") for note in notes]
    captions = [(one.file, "captions that no bout names") for one in survey.captions if one.file not in named]
    files = {file for bout in reading.bouts for file in bout.recording_files}
    footage = [(file, "footage that no bout names") for file in survey.recordings if not _is_named(file, files)]
    others = [(one.file, one.reason) for one in survey.left if one.file not in named]
    return _grouped((reason, file) for file, reason in (*waiting, *captions, *footage, *others))


def _is_named(file: str, named: Iterable[str]) -> bool:
    return any(file == name or file.endswith(f"/{name}") for name in named)


def _grouped(pairs: Iterable[tuple[str, str]]) -> tuple[Group, ...]:
    """By what they are, the most first."""
    places: dict[str, list[str]] = {}
    for what, place in pairs:
        places.setdefault(what, []).append(place)
    groups = (Group(what=what, count=len(at), first=tuple(at[:_FIRST_PLACES])) for what, at in places.items())
    return tuple(sorted(groups, key=lambda group: (-group.count, group.what)))


def _next_steps(reading: LibraryReading, survey: Survey, tags: TagCounts, is_built: bool) -> Iterable[str]:
    likenesses = {note.likeness for note in survey.notes}
    if "notes" in likenesses or not survey.has_settings:
        yield "run `fightnotes start`: there are notes or settings still to begin"
    elif "perhaps" in likenesses:
        yield "run `fightnotes start --ask` where something that is perhaps notes is"
    if reading.bouts and not is_built:
        yield "run `fightnotes build`, then `fightnotes find`"
    if reading.segments and not tags.concepts:
        begin = "`fightnotes propose` for terms of your own notes after a build, or " if tags.tags else ""
        yield f"see {begin}`fightnotes vocabulary start` for plain words of the trade"
    elif tags.unknown:
        yield "see `fightnotes propose`, after a build, for the tags that the vocabulary lacks"
    if reading.problems:
        yield "put right what could not be read or cannot be: `fightnotes build` lists every place"
