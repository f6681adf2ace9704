"""The vectors of all segments in one FAISS file: an exact inner-product index with segment ids."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

import faiss
import numpy as np
import numpy.typing as npt

from fightnotes.errors import StoreTorn
from fightnotes.index.encoder import Vectors

Ids = npt.NDArray[np.int64]


def new_vectors(dimension: int) -> faiss.IndexIDMap2:
    return faiss.IndexIDMap2(faiss.IndexFlatIP(dimension))


def read_vectors(path: Path, *, in_memory: bool = True) -> faiss.IndexIDMap2:
    """Raises StoreTorn where the file is missing or damaged. Not in memory, it is mapped, and cannot be changed."""
    index = read_index(path, 0 if in_memory else faiss.IO_FLAG_MMAP_IFC)
    if not isinstance(index, faiss.IndexIDMap2):
        raise StoreTorn(f"{path} holds another kind of index")
    return index


def read_index(path: Path, flags: int = 0) -> faiss.Index:
    """Raises StoreTorn where the file is missing or damaged."""
    try:
        return faiss.read_index(str(path), flags)
    except (RuntimeError, MemoryError) as error:  # what FAISS raises for a fault of a file, or a size it misreads
        raise StoreTorn(f"{path} is damaged ({_essence(error)})") from error


def write_vectors(index: faiss.Index, path: Path) -> None:
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


def ids_in(index: faiss.IndexIDMap2) -> Ids:
    """Row by row."""
    ids: Ids = faiss.vector_to_array(index.id_map)
    return ids


def matrix_of(index: faiss.IndexIDMap2) -> Vectors:
    """All vectors where they lie, shape (vectors, dimension): to be used as long as the index is held."""
    flat: Any = faiss.downcast_index(index.index)
    if not flat.ntotal:
        return np.empty((0, index.d), dtype=np.float32)
    matrix: Vectors = faiss.rev_swig_ptr(flat.get_xb(), flat.ntotal * flat.d).reshape(flat.ntotal, flat.d)
    return matrix


def _as_ids(ids: Ids | Sequence[int]) -> Ids:
    return np.asarray(ids, dtype=np.int64)


def _essence(error: BaseException) -> str:
    """FAISS writes where in its code an error came up, then ": " and what it is."""
    return str(error).strip().rpartition("\n")[2].rpartition(": ")[2] or type(error).__name__
