"""Fits the shipped weights of outcomes: python -m tests.bench.outcome_fit [--hold-out]

Learns from the notes of `tests/judged/fields_taught`, each bout by a hand of its own, whose outcomes are hidden, a
tenth of the bouts at a time. Writes `fightnotes/suggesting/outcome_weights.safetensors`. How strongly the weights are
drawn to nothing, and how long phrases and vectors are, was chosen on the tuned bouts and hands of
`tests.bench.field_suggestions`.

With --hold-out nothing is written: a fifth of the hands at a time is not learned from, and the likelier half of what is
guessed of them is counted; so are the fields that rules tell.
"""

from __future__ import annotations

import sys
import tempfile
from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import numpy.typing as npt
from safetensors.numpy import save_file
from scipy.sparse import csr_array

from fightnotes.index.encoder import Vectors
from fightnotes.index.local_store import LocalStore
from fightnotes.language.note_reader import NoteReader
from fightnotes.model import OUTCOMES, Segment
from fightnotes.suggesting.fields import told_outcomes
from fightnotes.suggesting.outcome_evidence import ToldOutcome, note_vectors, outcome_evidence, phrases_of
from fightnotes.suggesting.outcome_model import CLASSES, WEIGHTS_FILE, Doubles, OutcomeWeights, class_of, fit
from fightnotes.suggesting.word_space import WordSpace, learn_words
from tests.bench.built import built_copy
from tests.bench.field_suggestions import JUDGED, Answer, answers, at_half, judged, likelier_half, without_fields

TAUGHT = JUDGED / "fields_taught"
PARTS = 10
HELD_PARTS = 5
_PRECISION = 3.0
"""Of the normal prior around weights of nothing."""
_HANDS = 4
"""That use a phrase, at least."""


@dataclass(frozen=True)
class Lesson:
    note: Segment
    told: ToldOutcome
    tagged: bool
    """Whether it is read with its tags; each note is read without, too."""


@dataclass(frozen=True)
class Lessons:
    """Those of the library that is learned from."""

    encoder: str
    segments: list[Segment]
    vectors: Vectors
    """Of the segments, as the store has them."""
    lessons: list[Lesson]

    @property
    def mean(self) -> Vectors:
        places = {each.note.place for each in self.lessons}
        return self.vectors[[each.place in places for each in self.segments]].mean(axis=0)

    @property
    def wanted(self) -> npt.NDArray[np.int64]:
        return np.array([class_of(each.note.all_of("outcome")) for each in self.lessons])

    def evidence(self, phrases: WordSpace, usual: Vectors | None) -> csr_array:
        """Without a usual vector that of words and tags alone."""
        notes = [each.note for each in self.lessons]
        vectors = None if usual is None else note_vectors(self.segments, self.vectors, usual).of(notes)
        return outcome_evidence([each.told for each in self.lessons], phrases, vectors)


def lessons_of_taught() -> Lessons:
    with tempfile.TemporaryDirectory() as folder:
        store = LocalStore(built_copy(TAUGHT, Path(folder)))
        segments = store.every_segment()
        notes = [each for each in segments.values() if each.kind == "note" and each.timed]
        lessons = list(_by_parts(notes, NoteReader(store.bouts, store.vocabulary)))
        return Lessons(store.model, list(segments.values()), store.vectors_of(list(segments)), lessons)


def _by_parts(notes: list[Segment], reader: NoteReader) -> Iterator[Lesson]:
    """What is told of each note that lacks its fields, by its words and by the usage of the other bouts."""
    bouts = list(dict.fromkeys(note.bout for note in notes))
    for part in range(PARTS):
        hidden = set(bouts[part::PARTS])
        asked = [note for note in notes if note.bout in hidden]
        rest = [note for note in notes if note.bout not in hidden]
        for tagged in (True, False):
            told = told_outcomes(rest, [without_fields(note, tagged) for note in asked], reader)
            yield from (Lesson(*each, tagged) for each in zip(asked, told, strict=True))


def phrases_of_many(lessons: Iterable[Lesson]) -> WordSpace:
    """Those that several hands use, so that no fighter's name is among them."""
    notes = {each.note.place: each.note for each in lessons}.values()
    said = [(note.bout, phrases_of(note.text)) for note in notes]
    hands = Counter(phrase for _, phrase in {(bout, phrase) for bout, phrases in said for phrase in phrases})
    return learn_words([[phrase for phrase in phrases if hands[phrase] >= _HANDS] for _, phrases in said])


def fitted(evidence: csr_array, wanted: npt.NDArray[np.int64]) -> Doubles:
    """Weights of shape (evidence, classes)."""
    return fit(evidence, wanted, np.zeros((evidence.shape[1], len(CLASSES))), _PRECISION)


def write_weights() -> None:
    taught = lessons_of_taught()
    phrases, usual, wanted = phrases_of_many(taught.lessons), taught.mean, taught.wanted
    kept = {
        "with_vectors": fitted(taught.evidence(phrases, usual), wanted).astype(np.float16),
        "without_vectors": fitted(taught.evidence(phrases, None), wanted).astype(np.float16),
        "rarity": phrases.rarity,
        "usual": usual,
    }
    save_file(kept, WEIGHTS_FILE, {"encoder": taught.encoder, "phrases": "\n".join(phrases.column)})
    WEIGHTS_FILE.chmod(0o644)  # it is written for its owner alone
    print(f"{len(taught.lessons) // 2} notes, {len(phrases.column)} phrases")


def print_held_out() -> None:
    """By the weights of other hands alone; no notes of their library move them."""
    taught = lessons_of_taught()
    bouts = list(dict.fromkeys(each.note.bout for each in taught.lessons))
    parts = np.array([bouts.index(each.note.bout) % HELD_PARTS for each in taught.lessons])
    told: dict[bool, list[Answer]] = {True: [], False: []}
    for part in range(HELD_PARTS):
        asked, known = np.flatnonzero(parts == part), np.flatnonzero(parts != part)
        evidence = taught.evidence(phrases_of_many(taught.lessons[row] for row in known), taught.mean)
        learned = OutcomeWeights(fitted(evidence[known], taught.wanted[known]))
        for row, found in zip(asked, learned.probabilities(evidence[asked]), strict=True):
            lesson, value = taught.lessons[row], OUTCOMES[int(found.argmax())]
            held = lesson.note.all_of("outcome")
            right = held == (value,) if held else None
            told[lesson.tagged].append(Answer("outcome", float(found.max()), right, value))
    for tagged, guessed in told.items():
        have = sum(each.right is not None for each in guessed)
        print(f"{'with' if tagged else 'without'} tags, at half: {at_half(likelier_half(guessed, 'outcome', have))}")


def print_other_fields() -> None:
    """Which rules tell that know nothing of these hands."""
    library = judged(TAUGHT)
    bouts = list(dict.fromkeys(note.bout for note in library.notes))
    parts = [[note for note in library.notes if note.bout in bouts[part::HELD_PARTS]] for part in range(HELD_PARTS)]
    found = answers(library, parts, tags=True)
    for key in ("by", "on", "target"):
        have = sum(bool(note.all_of(key)) for note in library.notes)
        print(f"{key}, at half: {at_half(likelier_half(found, key, have))}")


if __name__ == "__main__":
    if "--hold-out" in sys.argv[1:]:
        print_held_out()
        print_other_fields()
    else:
        write_weights()
