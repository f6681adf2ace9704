"""The outcomes of notes, guessed from all that speaks for them, learned from the notes of the library that have one."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
from scipy.sparse import vstack

from fightnotes.model import OUTCOMES, Segment
from fightnotes.suggesting.outcome_evidence import NoteVectors, ToldOutcome, outcome_evidence
from fightnotes.suggesting.outcome_model import OutcomeWeights, learn, shipped_weights

_LIKE = 0.3
"""Least cosine, of vectors less their bout's mean, with which one note is like another."""


@dataclass(frozen=True)
class OutcomeGuess:
    value: str
    probability: float


@dataclass(frozen=True)
class Outcomes:
    """What a library's notes teach; `learn_outcomes` makes one."""

    weights: OutcomeWeights
    vectors: NoteVectors | None
    """None in a library of another model than the weights are for."""
    examples: dict[str, list[Segment]]
    """By outcome, the notes with it that it was learned from."""

    def guesses(self, notes: Sequence[Segment], told: Sequence[ToldOutcome]) -> Iterator[OutcomeGuess]:
        """The likeliest for each note, in order; it is unlikely where the words tell of several, or of none."""
        vectors = self.vectors.of(notes) if self.vectors else None
        found = self.weights.probabilities(outcome_evidence(told, shipped_weights().phrases, vectors))
        for row, column in enumerate(found.argmax(axis=1)):
            yield OutcomeGuess(OUTCOMES[column], float(found[row, column]))

    def like(self, note: Segment, outcome: str) -> str:
        """The place of the note that came out so and is worded most like it; empty where none is like it."""
        examples = self.examples.get(outcome)
        if self.vectors is None or not examples:
            return ""
        cosines = self.vectors.of(examples) @ self.vectors.of([note])[0]
        best = int(cosines.argmax())
        return examples[best].place if cosines[best] >= _LIKE else ""


def learn_outcomes(
    notes: Sequence[Segment], told: Sequence[ToldOutcome], silent: Sequence[ToldOutcome], vectors: NoteVectors | None
) -> Outcomes:
    """From notes with outcomes, read as if they had none, and what is told of notes without.

    Those teach by what speaks of notes in general, not by their own wording: it is they that are asked about.
    """
    shipped = shipped_weights()
    start = shipped.with_vectors if vectors else shipped.without_vectors
    unworded = [replace(each, text="") for each in silent]
    unseen = np.zeros((len(silent), len(shipped.usual)), dtype=np.float32)
    evidence = vstack(
        (
            outcome_evidence(told, shipped.phrases, vectors.of(notes) if vectors else None),
            outcome_evidence(unworded, shipped.phrases, unseen if vectors else None),
        ),
        format="csr",
    )
    outcomes = [note.all_of("outcome") for note in notes]
    examples: dict[str, list[Segment]] = {}
    for note, found in zip(notes, outcomes, strict=True):
        if len(found) == 1:
            examples.setdefault(found[0], []).append(note)
    return Outcomes(learn(start, evidence, [*outcomes, *((),) * len(silent)]), vectors, examples)
