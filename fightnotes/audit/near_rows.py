"""Which of many vectors comes nearest to each, of those above it that count, from a cosine on.

The product of all with all is never made. The vectors are turned so that their first numbers tell the most of them
(principal components, about the origin), and what the first `_KEPT` leave is put beside them as one number, its length.
The product of two such short rows is never below the cosine (Cauchy and Schwarz on what was left), so that only pairs
which reach the limit there are worked out in full.

Of very many vectors only those are held against each other that share one of the cells around means (k-means) which
they are nearest to; work then grows with their number, and not with its square.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

import faiss
import numpy as np
import numpy.typing as npt

from fightnotes.index.encoder import Vectors

EXACT_UP_TO = 50_000
"""Vectors up to which every pair is looked at."""
_KEPT = 64
"""Of 384. Fewer leave more pairs to be worked out in full, more make the products longer (measured at 16 to 96)."""
_ROUNDING = 1e-4
"""What single precision may take from a product of short rows, and much more."""
_ROWS, _COLUMNS = 512, 4096
"""Of one product, which stays in a processor's cache."""
_AT_ONCE = 65_536
"""Pairs that are worked out in full together."""
_IN_A_CELL = 1000
_CELLS_OF_EACH = 4
_TURNS = 5
_SAMPLE = 64
"""Vectors a cell that its mean is learned from."""

Numbers = npt.NDArray[np.int64]
Flags = npt.NDArray[np.bool_]
Counts = Callable[[Numbers, Numbers], Flags]
"""Of pairs, the numbers of their rows on either side, whether they are looked for."""


@dataclass(frozen=True)
class Nearest:
    """By row: the one above it that is nearest, of several as near the first."""

    others: Numbers
    """-1 where none is near."""
    cosines: npt.NDArray[np.float32]


def nearest_above(vectors: Vectors, least: float, counts: Counts) -> Nearest:
    """`vectors` are of length 1, shape (number, dimension).

    Of more than `EXACT_UP_TO` a few near ones may be missed (`tests/bench/near_notes.py`).
    """
    nearest = Nearest(np.full(len(vectors), -1), np.full(len(vectors), -1, dtype=np.float32))
    for likely in _likely_pairs(_shortened(vectors), least - _ROUNDING):
        wanted = np.flatnonzero(counts(*likely))
        for begin in range(0, len(wanted), _AT_ONCE):
            rows, others = (side[wanted[begin : begin + _AT_ONCE]] for side in likely)
            cosines = np.einsum("ij,ij->i", vectors[rows], vectors[others])
            near = cosines >= least
            _keep_nearest(nearest, rows[near], others[near], cosines[near])
    return nearest


def _keep_nearest(nearest: Nearest, rows: Numbers, others: Numbers, cosines: npt.NDArray[np.float32]) -> None:
    order = np.lexsort((others, -cosines, rows))
    rows, begins = np.unique(rows[order], return_index=True)
    others, cosines = others[order[begins]], cosines[order[begins]]
    known, before = nearest.cosines[rows], nearest.others[rows]
    better = (cosines > known) | ((cosines == known) & (others < before))
    nearest.others[rows[better]] = others[better]
    nearest.cosines[rows[better]] = cosines[better]


def _shortened(vectors: Vectors) -> Vectors:
    kept = min(_KEPT, vectors.shape[1])
    _, turned = np.linalg.eigh(vectors.T @ vectors)
    first = vectors @ turned[:, ::-1][:, :kept]
    left = np.einsum("ij,ij->i", vectors, vectors) - np.einsum("ij,ij->i", first, first)
    return np.ascontiguousarray(np.column_stack([first, np.sqrt(np.maximum(left, 0))]), dtype=np.float32)


def _likely_pairs(short: Vectors, least: float) -> Iterator[tuple[Numbers, Numbers]]:
    """Rows with others above them whose short product reaches `least`; a pair may come several times."""
    if len(short) <= EXACT_UP_TO:
        yield from _pairs_within(short, least)
        return
    for members in _cells(short):
        for rows, others in _pairs_within(short[members], least):
            yield members[rows], members[others]


def _cells(short: Vectors) -> Iterator[Numbers]:
    """The rows of each cell, ascending."""
    cells = faiss.Kmeans(
        short.shape[1], len(short) // _IN_A_CELL, niter=_TURNS, max_points_per_centroid=_SAMPLE, seed=0
    )
    cells.train(short)
    _, nearest = cells.index.search(short, _CELLS_OF_EACH)
    rows = np.argsort(nearest, axis=None, kind="stable") // _CELLS_OF_EACH
    yield from np.split(rows, np.cumsum(np.bincount(nearest.reshape(-1)))[:-1])


def _pairs_within(short: Vectors, least: float) -> Iterator[tuple[Numbers, Numbers]]:
    product = np.empty(_ROWS * _COLUMNS, dtype=np.float32)
    for begin in range(0, len(short), _ROWS):
        stop = min(begin + _ROWS, len(short))
        for left in range(0, stop, _COLUMNS):
            right = min(left + _COLUMNS, stop)
            bound = product[: (stop - begin) * (right - left)].reshape(stop - begin, right - left)
            np.matmul(short[begin:stop], short[left:right].T, out=bound)
            found = np.flatnonzero(bound >= np.float32(least))  # of one dimension: many times as quick as of two
            rows, others = begin + found // (right - left), left + found % (right - left)
            yield rows[others < rows], others[others < rows]
