"""The vectors of a store's segments in a fixed order, and how near a vector comes to them.

A long segment comes as near as the nearest of its passages, and one without text is near to nothing: its cosine is 0.
Vectors have length 1, so that products are cosines.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from fightnotes.index.codes import Codes, likely_rows
from fightnotes.index.encoder import Vectors
from fightnotes.index.vector_file import Ids, ids_in, matrix_of
from fightnotes.index.vector_parts import VectorParts

_FEW = 20_000
"""Segments that are held against a vector one by one, sooner than those that may be near are looked for among all."""
_MOST_LIKELY = 20_000
"""Rows that codes are asked for at most: it takes longer than one by one where still fewer of these are wanted."""
_LOOKED_AT = 3
"""How many are held against the vector for each that is wanted: codes tell the order only about."""


@dataclass(frozen=True)
class PlacedVectors:
    base: Vectors
    """A row for each segment and each passage, where they lie; some are of segments that are gone."""
    recent: Vectors
    """The rows after these."""
    codes: Codes | None
    """Of the rows of the base."""
    ids: Ids
    """Of the segments, ascending."""
    rows: Ids
    """The row that each segment has."""
    passages: Ids
    """The row that each passage of a long segment has."""
    owners: Ids
    """Which of the segments, by its place in `ids`, each passage is of; ascending."""
    wordless: Ids
    """Which of the segments, by their places, have no text."""
    segments: Ids
    """Which of the segments each row is of, or a passage of it; -1 for what is gone."""

    def places(self, ids: Ids) -> Ids:
        """The places in `ids` of some segments, all of which must be there."""
        return np.searchsorted(self.ids, ids)

    def vectors(self, rows: Ids) -> Vectors:
        late = rows >= len(self.base)
        found: Vectors = self.base[np.where(late, 0, rows)]
        found[late] = self.recent[rows[late] - len(self.base)]
        return found


def place_vectors(parts: VectorParts, passages: tuple[Ids, Ids], wordless: Ids) -> PlacedVectors:
    """From vectors, the ids of passages with the segment of each, and the ids of segments that have no text."""
    as_stored = np.concatenate([ids_in(parts.base), ids_in(parts.recent)])
    order = np.argsort(as_stored)
    if len(parts.gone):
        order = order[~np.isin(as_stored[order], parts.gone)]
    numbers, segments = passages
    rows = order[: len(order) - len(numbers)]  # passages have the highest ids
    ids = as_stored[rows]
    owners = np.searchsorted(ids, segments)
    of_rows = np.full(len(as_stored), -1)
    of_rows[rows] = np.arange(len(rows))
    of_rows[order[len(rows) :]] = owners
    return PlacedVectors(
        base=matrix_of(parts.base),
        recent=matrix_of(parts.recent),
        codes=parts.codes,
        ids=ids,
        rows=rows,
        passages=order[len(rows) :],
        owners=owners,
        wordless=np.searchsorted(ids, wordless),
        segments=of_rows,
    )


def every_cosine(placed: PlacedVectors, vector: Vectors) -> Vectors:
    """With every segment, in the order of `ids`.

    The whole matrix is multiplied: a search of the index gives the same for the nearest alone, and takes longer.
    """
    every = placed.base @ vector
    if len(placed.recent):
        every = np.concatenate([every, placed.recent @ vector])
    cosines: Vectors = every[placed.rows]
    np.maximum.at(cosines, placed.owners, every[placed.passages])
    cosines[placed.wordless] = 0
    return cosines


def some_cosines(placed: PlacedVectors, vector: Vectors, ids: Ids) -> Vectors:
    """With some segments, in the order asked for."""
    places = placed.places(ids)
    cosines: Vectors = placed.vectors(placed.rows[places]) @ vector
    first, stop = (np.searchsorted(placed.owners, places, side) for side in ("left", "right"))
    which, own = stretches(first, stop)
    np.maximum.at(cosines, which, placed.vectors(placed.passages[own]) @ vector)
    cosines[np.isin(places, placed.wordless)] = 0
    return cosines


def stretches(first: Ids, stop: Ids) -> tuple[Ids, Ids]:
    """The numbers of all stretches one behind the other, with which stretch each is of."""
    counts = stop - first
    which = np.repeat(np.arange(len(counts)), counts)
    begins = np.cumsum(counts) - counts
    return which, np.arange(len(which)) + np.repeat(first - begins, counts)


def passage_cosines(placed: PlacedVectors, vector: Vectors, ids: Ids) -> dict[int, Vectors]:
    """For those of some segments that are long, the cosine with each of their passages, in order."""
    found: dict[int, Vectors] = {}
    for number, place in zip(ids.tolist(), placed.places(ids).tolist(), strict=True):
        first, stop = np.searchsorted(placed.owners, (place, place + 1))
        if stop > first:
            found[number] = placed.vectors(placed.passages[first:stop]) @ vector
    return found


def nearest(placed: PlacedVectors, vector: Vectors, count: int, among: Ids | None) -> tuple[Ids, Vectors]:
    """Ids and cosines of the `count` segments with text that come nearest, nearest first, ids breaking ties.

    Without codes, and among few, exactly these. Else codes name those that are likely to be: more and more, until
    enough of these are among the ones wanted, and in the end all. Each is then held against the vector itself.
    """
    ids = _likely(placed, vector, count, among)
    cosines = some_cosines(placed, vector, ids)
    best = best_rows(cosines, np.arange(len(ids)), count)
    return ids[best], cosines[best]


def _likely(placed: PlacedVectors, vector: Vectors, count: int, among: Ids | None) -> Ids:
    """Ids, ascending, of segments with text; of all where there is nothing to choose by."""
    wanted = placed.ids if among is None else among
    enough = _LOOKED_AT * count
    looked_at = enough * len(placed.ids) // max(len(wanted), 1)
    if placed.codes is not None and len(wanted) > _FEW:
        while looked_at <= _MOST_LIKELY:
            places = placed.segments[_likely_of_all(placed, placed.codes, vector, looked_at)]
            likely = _with_text(placed, np.unique(places[places >= 0]), among)
            if len(likely) >= enough:
                return likely
            looked_at *= 2
    return _with_text(placed, placed.places(wanted), None)


def _likely_of_all(placed: PlacedVectors, codes: Codes, vector: Vectors, count: int) -> Ids:
    """Rows: by codes of the base, and by the vectors themselves of what came since."""
    by_codes = likely_rows(codes, vector, count)
    if not len(placed.recent):
        return by_codes
    late = best_rows(placed.recent @ vector, np.arange(len(placed.recent)), count)
    return np.concatenate([by_codes, late + len(placed.base)])


def _with_text(placed: PlacedVectors, places: Ids, among: Ids | None) -> Ids:
    """Ids of the segments at some places that have text and, where that is given, are among some ids."""
    ids = placed.ids[places[~np.isin(places, placed.wordless)]]
    if among is None:
        return ids
    passing: Ids = ids[among[np.minimum(np.searchsorted(among, ids), len(among) - 1)] == ids]
    return passing


def best_rows(score: npt.NDArray[np.floating[Any]], rows: Ids, count: int) -> Ids:
    """The `count` of `rows` with the highest scores, highest first, rows breaking ties."""
    if len(rows) > count:
        least = np.partition(score[rows], -count)[-count]
        rows = rows[score[rows] >= least]
    best: Ids = rows[np.lexsort((rows, -score[rows]))][:count]
    return best
