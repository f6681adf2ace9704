"""What speaks for a concept in a segment: one matrix for each kind of evidence, shape (segments, concepts)."""

from __future__ import annotations

import numpy as np
from scipy.sparse import csr_array

from fightnotes.suggesting.examples import Examples, Matrix
from fightnotes.suggesting.material import Material, Numbers

TEXT_KINDS = (
    "label", "label_words", "definition_words", "meaning", "meaning_above_others", "below_sibling", "pairing_differs",
)  # fmt: skip
"""In this order: a label or a misheard one found; nearness in words to the labels, and to labels and definition; cosine
with label and definition, and how far that is above the segment's mean over all concepts; how far the two nearnesses
to the definition together are below those of its best sibling; 1 where the vocabulary has the concept in the other
stance pairing."""
KINDS = (*TEXT_KINDS, "regression", "regression_log", "regression_below_best", "near_tag")
"""Then: what other segments say (`examples`), its logarithm, and how far it is below the segment's best; cosine with
the nearest concept that the segment is tagged with, squared, as one thing seldom has two names, and 0 where it has no
tag and where a label says the concept, which then has a name of its own."""

_LEAST = np.float32(0.01)
"""A regression below it says no less."""
_GOOD = np.float32(0.2)
"""What a segment's best is taken for where it is less: among few concepts the best one need not be right."""


def evidence_of(material: Material, rows: Numbers, examples: Examples) -> Matrix:
    """For segments to be tagged, shape (len(KINDS), segments, concepts): each judged by all but itself."""
    return _assembled(material, rows, examples.predict(rows), material.tags[rows])


def training_evidence(material: Material, rows: Numbers, examples: Examples, given: csr_array | None = None) -> Matrix:
    """For segments to learn from, of the same shape: each is judged by the segments of other bouts.

    Each counts as untagged, if `given`, the tags that it is taken to have, shape (len(rows), concepts), are not there.
    """
    tags = csr_array((len(rows), len(material.concepts.ids)), dtype=np.float32) if given is None else given
    kinds = np.empty((len(KINDS), len(rows), len(material.concepts.ids)), dtype=np.float32)
    for bout in np.unique(material.bouts[rows]):
        at = np.flatnonzero(material.bouts[rows] == bout)
        kinds[:, at] = _assembled(material, rows[at], examples.predict_without_bout(rows[at]), tags[at])
    return kinds


def text_evidence(material: Material, rows: Numbers) -> Matrix:
    """What labels and definitions alone say, shape (len(TEXT_KINDS), segments, concepts)."""
    concepts = material.concepts
    words = material.words[rows]
    meaning = material.vectors[rows] @ concepts.vectors.T
    definition_words = (words @ concepts.definitions.T).toarray()
    kinds = np.empty((len(TEXT_KINDS), len(rows), len(concepts.ids)), dtype=np.float32)
    by_kind = {
        "label": material.labels[rows].toarray(),
        "label_words": (words @ concepts.labels.T).toarray(),
        "definition_words": definition_words,
        "meaning": meaning,
        "meaning_above_others": meaning - meaning.mean(axis=1, keepdims=True),
        "below_sibling": _below_sibling(material, meaning + definition_words),
        "pairing_differs": _pairing_differs(material, rows),
    }
    for number, kind in enumerate(TEXT_KINDS):
        kinds[number] = by_kind[kind]
    return kinds


def _assembled(material: Material, rows: Numbers, regression: Matrix, given: csr_array) -> Matrix:
    kinds = np.empty((len(KINDS), len(rows), len(material.concepts.ids)), dtype=np.float32)
    kinds[: len(TEXT_KINDS)] = text_evidence(material, rows)
    by_kind = {
        "regression": regression,
        "regression_log": np.log(np.maximum(regression, _LEAST)),
        "regression_below_best": regression - regression.max(axis=1, keepdims=True, initial=_GOOD),
        "near_tag": near_tag(material, rows, given),
    }
    for number, kind in enumerate(KINDS[len(TEXT_KINDS) :], len(TEXT_KINDS)):
        kinds[number] = by_kind[kind]
    return kinds


def near_tag(material: Material, rows: Numbers, given: csr_array) -> Matrix:
    """How near each concept that no label says is to the nearest of each row's tags: the square of the cosine, 0 in
    rows without; `given` and what is returned have the shape (len(rows), concepts)."""
    vectors = material.concepts.vectors
    nearness: Matrix = np.zeros(given.shape, dtype=np.float32)
    tagged = np.flatnonzero(np.diff(given.indptr))
    if len(tagged):
        used, place = np.unique(given.indices, return_inverse=True)
        between = np.maximum(vectors[used] @ vectors.T, 0) ** 2
        nearness[tagged] = np.maximum.reduceat(between[place], given.indptr[tagged])
        nearness[material.labels[rows].toarray() > 0] = 0
    return nearness


def _below_sibling(material: Material, nearness: Matrix) -> Matrix:
    below = np.zeros_like(nearness)
    for column, siblings in enumerate(material.concepts.siblings):
        if siblings:
            below[:, column] = np.minimum(nearness[:, column] - nearness[:, siblings].max(axis=1), 0)
    return below


def _pairing_differs(material: Material, rows: Numbers) -> Matrix:
    held = np.array([material.segments[row].pairing for row in rows], dtype="U7")
    wanted = np.array(
        [material.concepts.by_id[identity].pairing or "" for identity in material.concepts.ids], dtype="U7"
    )
    differs = (held[:, None] != wanted) & (held != "unknown")[:, None] & (wanted != "")
    found: Matrix = differs.astype(np.float32)
    return found
