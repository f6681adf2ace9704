"""The vectors of a store, in one file or in three.

Up to `EXACT_UP_TO` segments they are one file, written anew by each build that changes it. Of more, that file stays as
it is, with codes of its vectors beside it, and a small one says what came and went since. Where that is more than
`RECENT_SHARE` of all, everything is written anew.
"""

from __future__ import annotations

import os
import zipfile
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from pathlib import Path

import faiss
import numpy as np

from fightnotes.errors import StoreTorn
from fightnotes.index.codes import Codes, make_codes, read_codes, write_codes
from fightnotes.index.encoder import Vectors
from fightnotes.index.manifest import StoredFile, VectorFiles
from fightnotes.index.vector_file import (
    Ids,
    add_vectors,
    ids_in,
    matrix_of,
    new_vectors,
    read_vectors,
    remove_vectors,
    vectors_of,
    write_vectors,
)

EXACT_UP_TO = 100_000
"""Segments up to which there are no codes, and a query is held against every vector."""
RECENT_SHARE = 0.01
"""Of all vectors: so many may come and go before everything is written anew. Every query is held against them."""

Finish = Callable[[str, Callable[[Path], None]], StoredFile]
"""Has a file of a name written, and gives it as it is when all its bytes are on the disk."""


@dataclass
class VectorParts:
    base: faiss.IndexIDMap2
    recent: faiss.IndexIDMap2
    """What came since the codes were made; empty where there are none."""
    codes: Codes | None = None
    """Of the base's vectors, row by row; None where there are few."""
    gone: Ids = field(default_factory=lambda: np.empty(0, dtype=np.int64))
    """Ids in the base that went since, ascending."""

    def of(self, ids: Ids | Sequence[int]) -> Vectors:
        """The vectors of some ids, row by row. Raises StoreTorn for an id that has none."""
        wanted = np.asarray(ids, dtype=np.int64)
        late = np.isin(wanted, ids_in(self.recent))
        found = np.empty((len(wanted), self.base.d), dtype=np.float32)
        found[late], found[~late] = vectors_of(self.recent, wanted[late]), vectors_of(self.base, wanted[~late])
        return found

    def add(self, vectors: Vectors, ids: Ids | Sequence[int]) -> None:
        add_vectors(self.recent if self.codes else self.base, vectors, ids)

    def remove(self, ids: Sequence[int]) -> None:
        if self.codes:
            remove_vectors(self.recent, ids)
            self.gone = np.union1d(self.gone, np.intersect1d(ids_in(self.base), ids))
        else:
            remove_vectors(self.base, ids)


def new_parts(dimension: int) -> VectorParts:
    return VectorParts(new_vectors(dimension), new_vectors(dimension))


def read_parts(folder: Path, files: VectorFiles) -> VectorParts:
    """Raises StoreTorn where a file is missing or damaged."""
    vectors = folder / files.vectors.name
    base = read_vectors(vectors, in_memory=files.codes is None or os.name == "nt")  # FAISS maps no file on Windows
    parts = VectorParts(base, new_vectors(base.d))
    if files.codes:
        parts.codes = read_codes(folder / files.codes.name, base.ntotal)
    if files.recent:
        _read_recent(parts, folder / files.recent.name)
    return parts


def write_parts(parts: VectorParts, old: VectorFiles | None, segments: int, finish: Finish) -> VectorFiles:
    """Writes what differs from the files of `old`; there are so many segments now."""
    many, live = segments > EXACT_UP_TO, parts.base.ntotal + parts.recent.ntotal - len(parts.gone)
    if many and parts.codes and old and parts.recent.ntotal + len(parts.gone) <= RECENT_SHARE * live:
        recent = finish("recent-{}.npz", lambda path: _write_recent(parts, path))
        return VectorFiles(old.vectors, old.codes, recent)
    base = _joined(parts) if parts.codes else parts.base
    vectors = finish("vectors-{}.faiss", lambda path: write_vectors(base, path))
    codes = finish("codes-{}.faiss", lambda path: write_codes(make_codes(matrix_of(base)), path)) if many else None
    return VectorFiles(vectors, codes, None)


def _joined(parts: VectorParts) -> faiss.IndexIDMap2:
    """One index of all that is there."""
    ids = ids_in(parts.base)
    stay = ~np.isin(ids, parts.gone)
    joined = new_vectors(parts.base.d)
    add_vectors(joined, matrix_of(parts.base)[stay], ids[stay])
    add_vectors(joined, matrix_of(parts.recent), ids_in(parts.recent))
    return joined


def _write_recent(parts: VectorParts, path: Path) -> None:
    with path.open("wb") as file:
        np.savez(file, ids=ids_in(parts.recent), vectors=matrix_of(parts.recent), gone=parts.gone)


def _read_recent(parts: VectorParts, path: Path) -> None:
    try:
        with np.load(path) as found:
            add_vectors(parts.recent, found["vectors"], found["ids"])
            parts.gone = found["gone"]
    except (OSError, ValueError, KeyError, EOFError, AssertionError, zipfile.BadZipFile) as error:
        raise StoreTorn(f"{path} is damaged ({error})") from error
