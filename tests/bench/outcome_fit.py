"""Fits the shipped weights of outcomes: python -m tests.bench.outcome_fit

Learns from the notes of `tests/judged/fields_taught`, each bout by a hand of its own, and from the tuned bouts and
hands of `tests.bench.field_suggestions`, but for five hands; outcomes are hidden, a tenth of the bouts at a time.
Writes `fightnotes/suggesting/outcome_weights.safetensors`. How strongly the weights are drawn to nothing was chosen on
those five hands and the demo's tuned bouts.
"""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from safetensors.numpy import save_file

from fightnotes.index.encoder import Vectors
from fightnotes.index.local_store import LocalStore
from fightnotes.language.note_reader import NoteReader
from fightnotes.model import Segment
from fightnotes.suggesting.fields import told_outcomes
from fightnotes.suggesting.outcome_evidence import ToldOutcome, note_vectors, outcome_evidence
from fightnotes.suggesting.outcome_model import CLASSES, WEIGHTS_FILE, Doubles, class_of, fit
from tests.bench.built import built_copy
from tests.bench.field_suggestions import DEMO, FIRST_FOUR, JUDGED, OTHER_HANDS, REPORTED, TUNED, without_fields

TAUGHT = JUDGED / "fields_taught"
TAUGHT_OF = {DEMO: TUNED, OTHER_HANDS: FIRST_FOUR, REPORTED: TUNED}
"""Of other libraries the bouts that are learned from."""
PARTS = 10
_PRECISION = 3.0
"""Of the normal prior around weights of nothing."""


@dataclass(frozen=True)
class Lessons:
    """The notes of one library that are learned from."""

    encoder: str
    segments: list[Segment]
    vectors: Vectors
    """Of the segments, as the store has them."""
    told: list[tuple[Segment, ToldOutcome]]
    """Each note twice: with its tags, and read as if it had none."""

    @property
    def mean(self) -> Vectors:
        places = {note.place for note, _ in self.told}
        return self.vectors[[each.place in places for each in self.segments]].mean(axis=0)


def lessons_of(root: Path, bouts: tuple[str, ...] | None) -> Lessons:
    with tempfile.TemporaryDirectory() as folder:
        store = LocalStore(built_copy(root, Path(folder)))
        segments = store.every_segment()
        notes = [each for each in segments.values() if each.kind == "note" and each.timed]
        known = [each for each in notes if bouts is None or each.bout in bouts]
        told = list(_told_by_parts(known, NoteReader(store.bouts, store.vocabulary)))
        return Lessons(store.model, list(segments.values()), store.vectors_of(list(segments)), told)


def _told_by_parts(notes: list[Segment], reader: NoteReader) -> Iterator[tuple[Segment, ToldOutcome]]:
    """What is told of each note that lacks its fields, by its words and by the usage of the other bouts."""
    bouts = list(dict.fromkeys(note.bout for note in notes))
    for part in range(PARTS):
        hidden = set(bouts[part::PARTS])
        asked = [note for note in notes if note.bout in hidden]
        rest = [note for note in notes if note.bout not in hidden]
        bare = [without_fields(note, tags) for tags in (True, False) for note in asked]
        yield from zip(asked * 2, told_outcomes(rest, bare, reader), strict=True)


def fitted(lessons: list[Lessons], usual: Vectors | None) -> Doubles:
    """Shape (evidence, classes); without a usual vector words and tags alone are learned from."""
    parts: list[Vectors] = []
    for each in lessons:
        notes, told = zip(*each.told, strict=True)
        vectors = None if usual is None else note_vectors(each.segments, each.vectors, usual).of(notes)
        parts.append(outcome_evidence(told, vectors))
    evidence = np.vstack(parts)
    wanted = np.array([class_of(note.all_of("outcome")) for each in lessons for note, _ in each.told])
    nothing, every = np.zeros((evidence.shape[1], len(CLASSES))), np.ones(len(CLASSES), dtype=np.bool_)
    return fit(evidence, wanted, nothing, _PRECISION, every)


def main() -> None:
    lessons = [lessons_of(TAUGHT, None), *(lessons_of(root, bouts) for root, bouts in TAUGHT_OF.items())]
    usual = lessons[0].mean
    kept = {"with_vectors": fitted(lessons, usual), "without_vectors": fitted(lessons, None), "usual": usual}
    (encoder,) = {each.encoder for each in lessons}
    save_file({name: table.astype(np.float32) for name, table in kept.items()}, WEIGHTS_FILE, {"encoder": encoder})
    WEIGHTS_FILE.chmod(0o644)  # it is written for its owner alone
    print(f"{sum(len(each.told) for each in lessons) // 2} notes, {len(kept['with_vectors'])} kinds of evidence")


if __name__ == "__main__":
    main()
