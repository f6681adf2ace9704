"""Words as weights: tf-idf with damped counts, rows of length 1.

The weight of a stem in a text is (1 + ln count) * (1 + ln((1 + texts) / (1 + texts that hold it))), as in Manning,
Raghavan and Schütze, "Introduction to Information Retrieval", 2008, 6.4.1, with the smoothing of scikit-learn.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import chain

import numpy as np
import numpy.typing as npt
from scipy.sparse import csr_array

Stems = Sequence[str]


@dataclass(frozen=True)
class WordSpace:
    column: dict[str, int]
    rarity: npt.NDArray[np.float32]
    """By column."""

    def rows(self, texts: Sequence[Stems]) -> csr_array:
        """Shape (len(texts), number of stems), float32; a row is empty where the text has no known stem."""
        weighted = self.weighted(texts)
        lengths = np.sqrt(weighted.multiply(weighted).sum(axis=1))
        return _scaled(weighted, 1 / np.maximum(lengths, np.float32(1e-12)))

    def weighted(self, texts: Sequence[Stems]) -> csr_array:
        """The same before rows are brought to length 1."""
        counts = _count_matrix(texts, self.column)
        counts.data = (1 + np.log(counts.data)) * self.rarity[counts.indices]
        return counts


def learn_words(texts: Sequence[Stems]) -> WordSpace:
    column = {stem: number for number, stem in enumerate(dict.fromkeys(chain.from_iterable(texts)))}
    counts = _count_matrix(texts, column)
    holders = np.bincount(counts.indices, minlength=len(column))
    rarity = 1 + np.log((1 + len(texts)) / (1 + holders))
    return WordSpace(column, rarity.astype(np.float32))


def membership(rows: Iterable[Iterable[str]], column: dict[str, int]) -> csr_array:
    """1 where a row holds a name, shape (rows, len(column)); names without a column are left out."""
    return _count_matrix([tuple(dict.fromkeys(row)) for row in rows], column)


def _count_matrix(texts: Sequence[Stems], column: dict[str, int]) -> csr_array:
    known = [[column[stem] for stem in text if stem in column] for text in texts]
    ends = np.fromiter(chain((0,), map(len, known)), dtype=np.int64, count=len(texts) + 1).cumsum()
    columns = np.fromiter(chain.from_iterable(known), dtype=np.int64, count=int(ends[-1]))
    counts = csr_array((np.ones(len(columns), np.float32), columns, ends), shape=(len(texts), len(column)))
    counts.sum_duplicates()
    return counts


def _scaled(matrix: csr_array, factors: npt.NDArray[np.float32]) -> csr_array:
    scaled = matrix.copy()
    scaled.data = matrix.data * np.repeat(factors, np.diff(matrix.indptr))
    return scaled
