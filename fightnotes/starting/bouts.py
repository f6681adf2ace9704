"""Files gathered into bouts, with what can be told of each."""

from __future__ import annotations

import datetime
import re
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from pathlib import PurePosixPath

from fightnotes.language import in_notes
from fightnotes.model import fold
from fightnotes.reading.dates import find_date
from fightnotes.starting.folder import LeftAlone
from fightnotes.starting.matching import Known, Words
from fightnotes.starting.names import NameFacts, facts_of_file, facts_of_name, fuller
from fightnotes.starting.note_facts import NoteFacts
from fightnotes.starting.survey import CaptionsFile, NoteFile, Survey, are_terms

Answers = Mapping[str, str]
"""By the key of the question."""


@dataclass(frozen=True)
class BoutGuess:
    """A bout to be, of the files that it is made of."""

    file: str
    """Of its first file, by which questions name it."""
    notes: tuple[NoteFile, ...]
    """Its own first."""
    name: NameFacts
    """What its first file's name and head say together."""
    captions: tuple[CaptionsFile, ...] = ()
    footage: tuple[str, ...] = ()
    """Recordings that may be its footage."""
    spoken: Mapping[str, str] = field(default_factory=dict)
    """By file of captions, or of notes that were made of them, the recording of its own that they were made from;
    empty where it is not there."""

    @property
    def facts(self) -> tuple[NoteFacts, ...]:
        return tuple(note.facts for note in self.notes)

    @property
    def labelled(self) -> dict[str, str]:
        """Of all its files, the first to say it holds."""
        return {key: value for facts in reversed(self.facts) for key, value in facts.labelled.items()}

    @property
    def names_in_use(self) -> tuple[str, ...]:
        """Who acts by the notes' own fields."""
        return tuple(dict.fromkeys(name for facts in self.facts for name in facts.acting))


@dataclass(frozen=True)
class Gathering:
    bouts: tuple[BoutGuess, ...]
    loose: tuple[tuple[CaptionsFile, tuple[int, ...]], ...]
    """Captions of no single bout, with those bouts by number that they may belong to."""
    left: tuple[LeftAlone, ...]


def gather(survey: Survey, answers: Answers) -> Gathering:
    """The bouts that a folder holds and the library has not begun, in order of path."""
    left: list[LeftAlone] = []
    begun = begun_of(survey)
    known = Known()
    bouts: list[BoutGuess] = []
    for note in sorted(_chosen(survey, answers, left), key=_own_files_first):
        name = name_of_note(note)
        same = [] if note.in_bouts else known.of(name)
        if not note.in_bouts and not same and (started := begun.of(name)):
            left.append(_of_begun(note.file, [survey.begun[number].file for number in started]))
        elif len(same) == 1:
            guess = bouts[same[0]]
            bouts[same[0]] = replace(guess, notes=(*guess.notes, note))
            known.add(same[0], [note.name], None, name.date)
        else:
            known.add(len(bouts), [note.name, name], name.sides, name.date)
            bouts.append(BoutGuess(note.file, (note,), name))
    loose = []
    for captions in survey.captions:
        same = known.of(captions.name)
        asked = answers.get(f"captions:{captions.file}")
        if asked is not None:
            same = [number for number, guess in enumerate(bouts) if guess.file == asked]
        if not same and asked is None and (started := begun.of(captions.name)):
            left.append(_of_begun(captions.file, [survey.begun[number].file for number in started]))
        elif not same and asked is None and captions.name.sides and captions.name.sure:
            known.add(len(bouts), [captions.name], captions.name.sides, captions.name.date)
            bouts.append(BoutGuess(captions.file, (), captions.name, (captions,)))
        elif len(same) == 1:
            guess = bouts[same[0]]
            bouts[same[0]] = replace(guess, captions=(*guess.captions, captions))
        else:
            loose.append((captions, tuple(same)))
            left.append(LeftAlone(file=captions.file, reason="captions of no bout that its name tells"))
    return Gathering(tuple(_with_recordings(bouts, known, survey.recordings)), tuple(loose), tuple(left))


def begun_of(survey: Survey) -> Known:
    """The bouts that are begun, by their number in the survey."""
    begun = Known()
    for number, bout in enumerate(survey.begun):
        sides = (bout.red.name, bout.blue.name) if bout.red and bout.blue else None
        begun.add(number, map(facts_of_file, (*bout.files, bout.id)), sides, bout.date)
    return begun


def _chosen(survey: Survey, answers: Answers, left: list[LeftAlone]) -> list[NoteFile]:
    chosen = []
    for note in survey.notes:
        if note.likeness == "notes" or answers.get(f"notes:{note.file}") == "yes":
            chosen.append(note)
        else:
            left.append(LeftAlone(file=note.file, reason="perhaps notes, perhaps not"))
    return chosen


def _own_files_first(note: NoteFile) -> tuple[bool, int, str]:
    """Of several files of one bout, that in `bouts/` is its own, else that of the shortest name."""
    return not note.in_bouts, len(note.name.words), note.file


def _of_begun(file: str, bouts: Sequence[str]) -> LeftAlone:
    return LeftAlone(file=file, reason=f"it belongs to {bouts[0]}, it seems: name it in the `sources` there")


def name_of_note(note: NoteFile) -> NameFacts:
    """What name, heading and the lines above the first moment say together; the name's own word goes first."""
    name, facts = note.name, note.facts
    heads = [facts_of_name(line) for line in facts.head]
    titled = [head for head in heads if head.sides and head.sure and not are_terms(head.sides)]
    own = name.sides if name.sides and not are_terms(name.sides) else None
    sides, sure = (own, name.sure) if own else (None, False)
    if titled and (sides is None or not sure):
        sides, sure = titled[0].sides, True
    if sides:
        sides = fuller(sides, [head.sides for head in titled if head.sides])
    days = _days_of(name, facts)
    title = name.title
    heading = facts_of_name(facts.heading).title if facts.heading else ""
    if heading and (own is None or not name.sure) and not _generic(heading):
        title = heading
    return NameFacts(title, name.words, days, sides, sure)


def _days_of(name: NameFacts, facts: NoteFacts) -> tuple[datetime.date, ...]:
    """The day of the name, else of a line `Date:`, else the first in the head; one that another tells apart, too."""
    lines = (facts.labelled.get("date", ""), *facts.head)
    found = [date.days for date in map(find_date, lines) if date]
    certain = next((days for days in (name.days, *found) if len(days) == 1), None)
    if name.days and len(name.days) > 1 and certain and certain[0] not in name.days:
        return name.days
    return certain or name.days or next(iter(found), ())


def _generic(title: str) -> bool:
    return all(word in in_notes.NOT_IN_NAMES or word.isdigit() for word in re.findall(r"\w+", fold(title)))


def _with_recordings(bouts: Sequence[BoutGuess], known: Known, files: Sequence[str]) -> Iterable[BoutGuess]:
    """The bouts with the recordings that are named as they are."""
    by_words: dict[Words, list[str]] = defaultdict(list)
    by_bout: dict[int, list[str]] = defaultdict(list)
    for file in files:
        name = facts_of_file(file)
        by_words[name.words].append(file)
        if len(same := known.of(name)) == 1:
            by_bout[same[0]].append(file)
    for number, guess in enumerate(bouts):
        own = {note.name.words for note in guess.notes} or {guess.name.words}
        spoken_of: dict[str, str] = {}
        for captions in guess.captions:
            made_from = by_words.get(captions.name.words, []) if captions.name.words not in own else []
            if len(made_from) == 1:
                spoken_of[captions.file] = made_from[0]
        exact = [file for words in own for file in by_words.get(words, ()) if _goes_with(file, guess, words)]
        near = [file for file in (exact or by_bout[number]) if file not in spoken_of.values()]
        yield replace(guess, footage=tuple(dict.fromkeys(near)), spoken=spoken_of)


def _goes_with(recording: str, guess: BoutGuess, words: Words) -> bool:
    """Whether a recording of the very words is the bout's: of its day, and beside it where the words tell nothing."""
    name = facts_of_file(recording)
    if name.date and guess.name.date and name.date != guess.name.date:
        return False
    beside = PurePosixPath(recording).parent == PurePosixPath(guess.file).parent
    return beside or not _generic(" ".join(words))
