"""Codes of a bit for each dimension, by which the nearest of very many vectors are found quickly.

They are RaBitQ's (Gao and Long, RaBitQ: quantizing high-dimensional vectors with a theoretical error bound, 2024), in
FAISS's fast scan: all codes are looked at for every query. Nothing is learnt but the mean, so that a code need not
change because others come or go.
"""

from __future__ import annotations

from pathlib import Path

import faiss
import numpy as np

from fightnotes.errors import StoreTorn
from fightnotes.index.encoder import Vectors
from fightnotes.index.vector_file import Ids, read_index, write_vectors

Codes = faiss.IndexRaBitQFastScan
_AT_ONCE = 100_000


def make_codes(matrix: Vectors) -> Codes:
    """A code for each row."""
    codes = Codes(matrix.shape[1], faiss.METRIC_INNER_PRODUCT)
    codes.train(np.ascontiguousarray(matrix[:: max(len(matrix) // _AT_ONCE, 1)]))
    for begin in range(0, len(matrix), _AT_ONCE):
        codes.add(np.ascontiguousarray(matrix[begin : begin + _AT_ONCE]))
    return codes


def write_codes(codes: Codes, path: Path) -> None:
    """Raises OSError where the file cannot be written."""
    write_vectors(codes, path)


def read_codes(path: Path, count: int) -> Codes:
    """Raises StoreTorn where the file is missing or damaged, or holds another number of codes than `count`."""
    codes = read_index(path)
    if not isinstance(codes, Codes) or codes.ntotal != count:
        raise StoreTorn(f"{path} holds other codes than those of the vectors")
    return codes


def likely_rows(codes: Codes, vector: Vectors, count: int) -> Ids:
    """The rows that come nearest to a vector by their codes, about in the order of nearness."""
    _, rows = codes.search(vector.reshape(1, -1), min(count, codes.ntotal))
    found: Ids = rows[0][rows[0] >= 0]
    return found
