"""The vectors of all segments in one FAISS file: an exact inner-product index with segment ids."""

from __future__ import annotations

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
    except (RuntimeError, MemoryError) as error:  # what FAISS raises for a fault of a file, or a size it misreads
        raise StoreTorn(f"{path} is damaged ({_essence(error)})") from error
    if not isinstance(index, faiss.IndexIDMap2):
        raise StoreTorn(f"{path} holds another kind of index")
    return index


def write_vectors(index: faiss.IndexIDMap2, path: Path) -> None:
    """Raises OSError where the file cannot be written."""
    with path.open("wb") as file:
        # Given a path, FAISS only prints a full disk that it meets when it closes the file.
        faiss.write_index(index, faiss.PyCallbackIOWriter(file.write))  # type: ignore[attr-defined]


def add_vectors(index: faiss.IndexIDMap2, vectors: Vectors, ids: Ids | Sequence[int]) -> None:
    index.add_with_ids(vectors, _as_ids(ids))


def remove_vectors(index: faiss.IndexIDMap2, ids: Ids | Sequence[int]) -> None:
    index.remove_ids(faiss.IDSelectorBatch(_as_ids(ids)))


def vectors_of(index: faiss.IndexIDMap2, ids: Ids | Sequence[int]) -> Vectors:
    """The stored vectors, shape (len(ids), dimension). Raises StoreTorn for an id that has none."""
    if not len(ids):
        return np.empty((0, index.d), dtype=np.float32)
    try:
        found: Vectors = index.reconstruct_batch(_as_ids(ids))
    except RuntimeError as error:
        raise StoreTorn(f"a segment has no vector ({_essence(error)})") from error
    return found


def _as_ids(ids: Ids | Sequence[int]) -> Ids:
    return np.asarray(ids, dtype=np.int64)


def _essence(error: BaseException) -> str:
    """FAISS writes where in its code an error came up, then ": " and what it is."""
    return str(error).strip().rpartition("\n")[2].rpartition(": ")[2] or type(error).__name__
