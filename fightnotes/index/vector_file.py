"""The vectors of all segments in one FAISS file: an exact inner-product index with segment ids."""

from __future__ import annotations

import os
from collections.abc import Sequence
from pathlib import Path

import faiss
import numpy as np
import numpy.typing as npt

from fightnotes.errors import StoreTorn
from fightnotes.index.encoder import Vectors

Ids = npt.NDArray[np.int64]


def new_vectors(dimension: int) -> faiss.IndexIDMap2:
    return faiss.IndexIDMap2(faiss.IndexFlatIP(dimension))


def read_vectors(path: Path) -> faiss.IndexIDMap2:
    """Raises StoreTorn where the file is missing or damaged."""
    try:
        index = faiss.read_index(str(path))
    except RuntimeError as error:  # what FAISS raises for every fault of a file
        raise StoreTorn(f"{path} cannot be read ({str(error).splitlines()[-1]})") from error
    if not isinstance(index, faiss.IndexIDMap2):
        raise StoreTorn(f"{path} holds another kind of index")
    return index


def write_vectors(index: faiss.IndexIDMap2, path: Path) -> None:
    """Whole on disk, or not there: temporary file, fsync, rename."""
    part = path.with_suffix(".part")
    faiss.write_index(index, str(part))
    with part.open("rb") as file:
        os.fsync(file.fileno())
    part.replace(path)


def nearest(
    index: faiss.IndexIDMap2, vector: Vectors, count: int, among: Sequence[int] | None = None
) -> tuple[Ids, Vectors]:
    """Ids and cosines of the `count` segments nearest to `vector`, nearest first; `among` limits them to some ids."""
    params = None
    if among is not None:
        params = faiss.SearchParameters(sel=faiss.IDSelectorBatch(np.asarray(among, dtype=np.int64)))
    cosines, ids = index.search(vector.reshape(1, -1), min(count, max(index.ntotal, 1)), params=params)
    kept = ids[0] >= 0
    return ids[0][kept], cosines[0][kept]


def vectors_of(index: faiss.IndexIDMap2, ids: Sequence[int]) -> Vectors:
    """The stored vectors, shape (len(ids), dimension)."""
    if not len(ids):
        return np.empty((0, index.d), dtype=np.float32)
    found: Vectors = np.stack([index.reconstruct(int(number)) for number in ids])
    return found
