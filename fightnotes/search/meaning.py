"""Meaning: how near a query's vector comes to every segment and every concept, in one exact pass over each."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import faiss
import numpy as np

from fightnotes.index.encoder import Vectors
from fightnotes.index.store import Store
from fightnotes.index.vector_file import Ids
from fightnotes.search.once import once_per_store
from fightnotes.search.query import Query

NAMED = 0.5
"""The least nearness of a concept that the query names by a label, and of those below it."""


@dataclass(frozen=True)
class Rows:
    """All segments of a store in a fixed order, so that what a query is held against can be arrays."""

    ids: Ids
    """Ascending."""
    places: Ids
    """Where in the index the vector of each stands."""
    passages: Ids
    """Where in the index the vector of each passage of a long segment stands."""
    passage_rows: Ids
    """The row of the segment that each passage is of."""
    wordless: Ids
    """Rows of the segments that have no text."""
    tagged: dict[str, Ids]
    """Rows of the segments that have a tag, ascending, by the tag's name."""

    def of(self, ids: Ids | list[int]) -> Ids:
        """The rows of some segments, all of which must be there."""
        return np.searchsorted(self.ids, np.asarray(ids, dtype=np.int64))


@once_per_store
def rows_of(store: Store) -> Rows:
    as_stored = faiss.vector_to_array(store.vectors.id_map)
    order = np.argsort(as_stored)
    passages, owners = store.passages
    places = order[: len(order) - len(passages)]  # passages have the highest ids
    ids = as_stored[places]
    return Rows(
        ids,
        places,
        order[len(places) :],
        np.searchsorted(ids, owners),
        np.searchsorted(ids, store.wordless),
        {tag: np.searchsorted(ids, tagged) for tag, tagged in store.tagged.items()},
    )


def segment_cosines(vector: Vectors, store: Store) -> Vectors:
    """The cosine of a vector of length 1 with every segment, in the order of `rows_of`; of a long segment, with the
    passage of it that comes nearest. A segment without text has none: 0.

    The whole matrix of the FAISS index is multiplied, where it lies: a search of the index gives the same for the
    nearest alone, and takes longer.
    """
    rows = rows_of(store)
    every = _matrix(store) @ vector
    cosines: Vectors = every[rows.places]
    np.maximum.at(cosines, rows.passage_rows, every[rows.passages])
    cosines[rows.wordless] = 0
    return cosines


def passage_cosines(vector: Vectors, store: Store, ids: Ids | list[int]) -> dict[int, Vectors]:
    """For those of some segments that are long, the cosine of a vector with each of their passages, in order."""
    rows = rows_of(store)
    found: dict[int, Vectors] = {}
    for number, row in zip(ids, rows.of(list(ids)), strict=True):
        first, stop = np.searchsorted(rows.passage_rows, (row, row + 1))
        if stop > first:
            found[int(number)] = _matrix(store)[rows.passages[first:stop]] @ vector
    return found


def _matrix(store: Store) -> Vectors:
    flat: Any = faiss.downcast_index(store.vectors.index)
    matrix: Vectors = faiss.rev_swig_ptr(flat.get_xb(), flat.ntotal * flat.d).reshape(flat.ntotal, flat.d)
    return matrix


def concept_nearness(query: Query, vector: Vectors, store: Store) -> dict[str, float]:
    """How near the query comes to each concept: the largest cosine with a label or the definition, at least
    `NAMED` where the query says a label."""
    ids, vectors = store.wording_vectors
    near: dict[str, float] = {}
    for concept, cosine in zip(ids, vectors @ vector, strict=True):
        near[concept] = max(near.get(concept, -1.0), float(cosine))
    for sought in query.concepts:
        for concept in store.vocabulary.with_narrower(sought.concept):
            near[concept] = max(near.get(concept, 0.0), NAMED)
    return near
