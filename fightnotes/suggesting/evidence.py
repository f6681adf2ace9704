"""What speaks for a concept in a segment: one matrix for each kind of evidence, shape (segments, concepts)."""

from __future__ import annotations

import numpy as np

from fightnotes.suggesting.examples import Examples, Matrix, Prediction
from fightnotes.suggesting.material import Material, Numbers

KINDS = (
    "label", "label_words", "definition_words", "meaning", "meaning_above_others", "pairing_differs",
    "regression", "regression_log", "regression_below_best", "prior",
)  # fmt: skip
"""In this order: a label or a misheard one found; nearness in words to the labels, and to labels and definition; cosine
with label and definition, and how far that is above the segment's mean over all concepts; 1 where the vocabulary has
the concept in the other stance pairing; what tagged segments say (`examples`), its logarithm, and how far it is below
the segment's best; the logarithm of how often the concept is tagged."""

_LEAST = np.float32(0.01)
"""A regression below it says no less."""


def evidence_of(material: Material, rows: Numbers, examples: Examples) -> Matrix:
    """For segments to be tagged, shape (len(KINDS), segments, concepts): each judged by all tags but its own."""
    return _assembled(material, rows, examples.predict(rows))


def training_evidence(material: Material, rows: Numbers, examples: Examples) -> Matrix:
    """For segments to learn from, of the same shape: each is judged by the tagged segments of other bouts."""
    kinds = np.empty((len(KINDS), len(rows), len(material.concepts.ids)), dtype=np.float32)
    for bout in np.unique(material.bouts[rows]):
        at = np.flatnonzero(material.bouts[rows] == bout)
        kinds[:, at] = _assembled(material, rows[at], examples.predict_without_bout(rows[at]))
    return kinds


def _assembled(material: Material, rows: Numbers, prediction: Prediction) -> Matrix:
    concepts = material.concepts
    words = material.words[rows]
    meaning = material.vectors[rows] @ concepts.vectors.T
    regression = prediction.regression
    kinds = np.empty((len(KINDS), len(rows), len(concepts.ids)), dtype=np.float32)
    by_kind = {
        "label": material.labels[rows].toarray(),
        "label_words": (words @ concepts.labels.T).toarray(),
        "definition_words": (words @ concepts.definitions.T).toarray(),
        "meaning": meaning,
        "meaning_above_others": meaning - meaning.mean(axis=1, keepdims=True),
        "pairing_differs": _pairing_differs(material, rows),
        "regression": regression,
        "regression_log": np.log(np.maximum(regression, _LEAST)),
        "regression_below_best": regression - regression.max(axis=1, keepdims=True, initial=-np.inf),
        "prior": prediction.prior,
    }
    for number, kind in enumerate(KINDS):
        kinds[number] = by_kind[kind]
    return kinds


def _pairing_differs(material: Material, rows: Numbers) -> Matrix:
    held = np.array([material.segments[row].pairing for row in rows], dtype="U7")
    wanted = np.array(
        [material.concepts.by_id[identity].pairing or "" for identity in material.concepts.ids], dtype="U7"
    )
    differs = (held[:, None] != wanted) & (held != "unknown")[:, None] & (wanted != "")
    found: Matrix = differs.astype(np.float32)
    return found
