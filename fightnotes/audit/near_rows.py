"""Which of many vectors are near to which: every pair from a cosine on, without the product of all with all.

The vectors are turned so that their first numbers tell the most of them (principal components, about the origin), and
what the first `_KEPT` leave is put beside them as one number, its length. The product of two such short rows is never
below the cosine (Cauchy and Schwarz on what was left), so that only pairs which reach the limit there are worked out
in full.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from fightnotes.index.encoder import Vectors

_KEPT = 64
"""Of 384. Fewer leave more pairs to be worked out in full, more make the products longer (measured at 16 to 96)."""
_ROUNDING = 1e-4
"""What single precision may take from a product of short rows, and much more."""
_ROWS, _COLUMNS = 512, 4096
"""Of one product, which stays in a processor's cache."""

Numbers = npt.NDArray[np.int64]


@dataclass(frozen=True)
class NearAbove:
    """A row with those above it that are near, in order; one or more."""

    row: int
    others: Numbers
    cosines: npt.NDArray[np.float32]


def near_above(vectors: Vectors, least: float) -> Iterator[NearAbove]:
    """Row by row; `vectors` are of length 1, shape (number, dimension)."""
    short = _shortened(vectors)
    product = np.empty(_ROWS * _COLUMNS, dtype=np.float32)
    for begin in range(0, len(vectors), _ROWS):
        stop = min(begin + _ROWS, len(vectors))
        rows, others = _candidates(short, begin, stop, least - _ROUNDING, product)
        cosines = np.einsum("ij,ij->i", vectors[rows], vectors[others])
        near = np.flatnonzero(cosines >= least)
        near = near[np.lexsort((others[near], rows[near]))]
        found, begins = np.unique(rows[near], return_index=True)
        for row, at in zip(found.tolist(), np.split(near, begins[1:]), strict=False):  # nothing split is one piece
            yield NearAbove(row, others[at], cosines[at])


def _shortened(vectors: Vectors) -> Vectors:
    kept = min(_KEPT, vectors.shape[1])
    _, turned = np.linalg.eigh(vectors.T @ vectors)
    first = vectors @ turned[:, ::-1][:, :kept]
    left = np.einsum("ij,ij->i", vectors, vectors) - np.einsum("ij,ij->i", first, first)
    return np.ascontiguousarray(np.column_stack([first, np.sqrt(np.maximum(left, 0))]), dtype=np.float32)


def _candidates(
    short: Vectors, begin: int, stop: int, least: float, product: npt.NDArray[np.float32]
) -> tuple[Numbers, Numbers]:
    """Rows from `begin` on with those above them whose short product reaches `least`; `product` is room for it."""
    rows, others = [], []
    for left in range(0, stop, _COLUMNS):
        right = min(left + _COLUMNS, stop)
        bound = product[: (stop - begin) * (right - left)].reshape(stop - begin, right - left)
        np.matmul(short[begin:stop], short[left:right].T, out=bound)
        found = np.flatnonzero(bound >= np.float32(least))  # of one dimension: many times as quick as of two
        rows.append(begin + found // (right - left))
        others.append(left + found % (right - left))
    row, other = np.concatenate(rows), np.concatenate(others)
    return row[other < row], other[other < row]
