"""What the analyst's own segments say of other segments.

A kernel ridge regression of every concept at once (Hastie, Tibshirani and Friedman, "The Elements of Statistical
Learning", 2nd edition, 2009, 5.8.2) over meaning, words and fields together. It learns from tagged segments, where a
tag is 1, and from untagged ones; a pair without a tag is unlabelled and not negative (Elkan and Noto 2008), so that it
is taught as what labels and definitions alone say of it (`taught`). Untagged segments carry a library of few tags; the
more tagged segments there are that could speak against a concept, the larger is their ridge and the less they count.

What is judged in training is judged without the segments of its own bout: with Q the inverse of the kernel matrix with
its ridges and a = Q Y, the weights without a group g of rows are a - Q[:, g] Q[g, g]^-1 a[g], and those of a row left
out alone follow as a[i] / Q[i, i].
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property

import faiss
import numpy as np
import numpy.typing as npt
import scipy.linalg

from fightnotes.suggesting.material import Material, Numbers

Matrix = npt.NDArray[np.float32]

RIDGE = 1.0
FIELD_SHARE = 0.5
"""What agreement of the fields counts for in the kernel, against 1 for meaning and 1 for words."""
MOST_TAGGED, MOST_UNTAGGED = 2000, 1000
"""Segments of each sort that the regression learns from; of more, a fixed sample."""
FADING = 20.0
"""Tagged segments that halve what an untagged one counts."""
NEIGHBOURS = 50
"""Tagged segments that are looked through for those with the same tag, to be shown as reasons."""
EXACT_UP_TO = 50_000
"""Tagged segments that are all looked through for them; of more, those in the cells around means (k-means) that are
nearest to the segment asked about, which may miss a few."""
_IN_A_CELL = 250
_CELLS = 16
_TURNS = 5
_SAMPLE = 64
"""Segments a cell that its mean is learned from."""
_SEED = 20310308


@dataclass(frozen=True)
class Neighbours:
    """For each segment asked about, its nearest tagged segments, nearest first."""

    rows: Numbers
    """Rows of the material, shape (asked, at most NEIGHBOURS); -1 where there are fewer."""
    cosines: Matrix


class Examples:
    """Segments of a material, learned from."""

    def __init__(self, material: Material, rows: Numbers, teach: Callable[[Numbers], Matrix]) -> None:
        """`rows` are the segments to learn from, in any order; `teach` gives what their pairs are taught as."""
        self._material = material
        ordered = rows[np.argsort(material.bouts[rows], kind="stable")]
        tagged = material.tagged[ordered]
        self._rows = ordered[tagged]
        self._position = np.full(len(material.segments), -1, dtype=np.int64)
        self._position[self._rows] = np.arange(len(self._rows))
        picked = [_sample(self._rows, MOST_TAGGED), _sample(ordered[~tagged], MOST_UNTAGGED)]
        self._learned = np.concatenate(picked)
        self._learned_bouts = material.bouts[self._learned]
        self._taught = teach(self._learned)
        against = len(self._rows) - int(material.tags[self._rows].sum(axis=0).max(initial=0))
        self._ridges = np.repeat([RIDGE, RIDGE * (1 + against / FADING)], [len(each) for each in picked])

    def predict(self, asked: Numbers) -> Matrix:
        """Shape (asked, concepts). Each segment by all others: one that is an example itself, without itself."""
        learned_position = np.full(len(self._material.segments), -1, dtype=np.int64)
        learned_position[self._learned] = np.arange(len(self._learned))
        regression = self._predicted(asked, self._weights)
        at = learned_position[asked]
        own = at >= 0
        regression[own] = self._taught[at[own]] - self._weights[at[own]] / self._inverse.diagonal()[at[own], None]
        return regression

    def predict_without_bout(self, asked: Numbers) -> Matrix:
        """Each segment by the examples of other bouts; all of `asked` are of one bout."""
        bout = int(self._material.bouts[asked[0]])
        group = np.flatnonzero(self._learned_bouts == bout)
        weights = self._weights
        if len(group):
            inner = self._inverse[np.ix_(group, group)]
            taken = self._inverse[:, group] @ scipy.linalg.solve(inner, weights[group], assume_a="pos")
            weights = (weights - taken).astype(np.float32)
        return self._predicted(asked, weights)

    def nearest(self, asked: Numbers) -> Neighbours:
        """By meaning, all examples but the segment itself: one more is looked up, as an example finds itself."""
        if not len(self._rows):
            return Neighbours(np.empty((len(asked), 0), np.int64), np.empty((len(asked), 0), np.float32))
        count = min(NEIGHBOURS + 1, len(self._rows))
        cosines, places = self._index.search(self._material.vectors[asked], count)
        places[places == self._position[asked][:, None]] = -1
        order = np.argsort(places < 0, axis=1, kind="stable")[:, :NEIGHBOURS]
        nearest: Numbers = np.take_along_axis(places, order, axis=1)
        nearness: Matrix = np.take_along_axis(cosines, order, axis=1)
        return Neighbours(np.where(nearest >= 0, self._rows[nearest], -1), nearness)

    @cached_property
    def _index(self) -> faiss.Index:
        vectors = self._material.vectors[self._rows]
        whole = faiss.IndexFlatIP(vectors.shape[1])
        index = _in_cells(whole, vectors) if len(vectors) > EXACT_UP_TO else whole
        index.add(vectors)
        return index

    @cached_property
    def _inverse(self) -> npt.NDArray[np.float64]:
        if not len(self._learned):
            return np.empty((0, 0))  # LAPACK complains on the terminal of a matrix without rows
        kernel = self._kernel(self._learned, self._learned).astype(np.float64)
        kernel[np.diag_indices_from(kernel)] += self._ridges
        factor, _ = scipy.linalg.cho_factor(kernel, overwrite_a=True)  # the kernel with its ridge is positive definite
        half, _ = scipy.linalg.lapack.dpotri(factor, overwrite_c=True)
        inverse: npt.NDArray[np.float64] = np.triu(half) + np.triu(half, 1).T
        return inverse

    @cached_property
    def _weights(self) -> Matrix:
        """Shape (learned, concepts)."""
        weights: Matrix = (self._inverse @ self._taught).astype(np.float32)
        return weights

    def _kernel(self, left: Numbers, right: Numbers) -> Matrix:
        m = self._material
        meaning: Matrix = m.vectors[left] @ m.vectors[right].T
        words = (m.words[left] @ m.words[right].T).toarray()
        fields = (m.marks[left] @ m.marks[right].T).toarray()
        kernel: Matrix = np.float32(1) + meaning + words + np.float32(FIELD_SHARE) * fields
        return kernel

    def _predicted(self, asked: Numbers, weights: Matrix) -> Matrix:
        """The kernel with the examples times the weights, in the order that takes the fewest products."""
        m = self._material
        if not len(self._learned):
            return np.zeros((len(asked), m.tags.shape[1]), dtype=np.float32)
        meaning = m.vectors[asked] @ (m.vectors[self._learned].T @ weights)
        words = m.words[asked] @ (m.words[self._learned].T @ weights)
        fields = m.marks[asked] @ (m.marks[self._learned].T @ weights)
        found: Matrix = weights.sum(axis=0) + meaning + words + np.float32(FIELD_SHARE) * fields
        return found


def _in_cells(means: faiss.Index, vectors: Matrix) -> faiss.Index:
    """An inverted file, its cells around means learned from these vectors and held in an index without any."""
    index = faiss.IndexIVFFlat(means, vectors.shape[1], len(vectors) // _IN_A_CELL, faiss.METRIC_INNER_PRODUCT)
    index.cp.niter, index.cp.max_points_per_centroid = _TURNS, _SAMPLE
    index.nprobe = _CELLS
    index.train(vectors)
    return index


def _sample(rows: Numbers, most: int) -> Numbers:
    if len(rows) <= most:
        return rows
    return np.sort(np.random.default_rng(_SEED).choice(rows, most, replace=False))
