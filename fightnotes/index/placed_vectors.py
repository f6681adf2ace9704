"""The vectors of a store's segments in a fixed order, and how near a vector comes to them.

A long segment comes as near as the nearest of its passages, and one without text is near to nothing: its cosine is 0.
Vectors have length 1, so that products are cosines.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import faiss
import numpy as np
import numpy.typing as npt

from fightnotes.index.encoder import Vectors
from fightnotes.index.vector_file import Ids


@dataclass(frozen=True)
class PlacedVectors:
    matrix: Vectors
    """All vectors as the FAISS index holds them, where they lie, a row for each segment and each passage."""
    ids: Ids
    """Of the segments, ascending."""
    places: Ids
    """The row of the matrix that each segment has."""
    passages: Ids
    """The row of the matrix that each passage of a long segment has."""
    owners: Ids
    """Which of the segments, by its place in `ids`, each passage is of; ascending."""
    wordless: Ids
    """Which of the segments have no text."""

    def rows_of(self, ids: Ids) -> Ids:
        """The places in `ids` of some segments, all of which must be there."""
        return np.searchsorted(self.ids, ids)


def place_vectors(index: faiss.IndexIDMap2, passages: tuple[Ids, Ids], wordless: Ids) -> PlacedVectors:
    """From an index, the ids of passages with the segment of each, and the ids of segments that have no text."""
    as_stored = faiss.vector_to_array(index.id_map)
    order = np.argsort(as_stored)
    numbers, owners = passages
    places = order[: len(order) - len(numbers)]  # passages have the highest ids
    ids = as_stored[places]
    return PlacedVectors(
        matrix=_matrix(index),
        ids=ids,
        places=places,
        passages=order[len(places) :],
        owners=np.searchsorted(ids, owners),
        wordless=np.searchsorted(ids, wordless),
    )


def _matrix(index: faiss.IndexIDMap2) -> Vectors:
    flat: Any = faiss.downcast_index(index.index)
    matrix: Vectors = faiss.rev_swig_ptr(flat.get_xb(), flat.ntotal * flat.d).reshape(flat.ntotal, flat.d)
    return matrix


def every_cosine(placed: PlacedVectors, vector: Vectors) -> Vectors:
    """With every segment, in the order of `ids`.

    The whole matrix is multiplied: a search of the index gives the same for the nearest alone, and takes longer.
    """
    every = placed.matrix @ vector
    cosines: Vectors = every[placed.places]
    np.maximum.at(cosines, placed.owners, every[placed.passages])
    cosines[placed.wordless] = 0
    return cosines


def some_cosines(placed: PlacedVectors, vector: Vectors, ids: Ids) -> Vectors:
    """With some segments, in the order asked for."""
    rows = placed.rows_of(ids)
    cosines: Vectors = placed.matrix[placed.places[rows]] @ vector
    first, stop = (np.searchsorted(placed.owners, rows, side) for side in ("left", "right"))
    for which in np.flatnonzero(stop > first).tolist():
        own = placed.matrix[placed.passages[first[which] : stop[which]]] @ vector
        cosines[which] = max(cosines[which], own.max())
    cosines[np.isin(rows, placed.wordless)] = 0
    return cosines


def passage_cosines(placed: PlacedVectors, vector: Vectors, ids: Ids) -> dict[int, Vectors]:
    """For those of some segments that are long, the cosine with each of their passages, in order."""
    found: dict[int, Vectors] = {}
    for number, row in zip(ids.tolist(), placed.rows_of(ids).tolist(), strict=True):
        first, stop = np.searchsorted(placed.owners, (row, row + 1))
        if stop > first:
            found[number] = placed.matrix[placed.passages[first:stop]] @ vector
    return found


def best_rows(score: npt.NDArray[np.floating[Any]], rows: Ids, count: int) -> Ids:
    """The `count` of `rows` with the highest scores, highest first, rows breaking ties."""
    if len(rows) > count:
        least = np.partition(score[rows], -count)[-count]
        rows = rows[score[rows] >= least]
    best: Ids = rows[np.lexsort((rows, -score[rows]))][:count]
    return best
