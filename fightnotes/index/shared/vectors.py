"""Vectors on their way to pgvector and back, as bytes: a number's text would be three times as long.

The form of a row is that of COPY in PostgreSQL's binary format (manual, COPY, "Binary Format"); that of a vector is
what pgvector's `vector_send` writes: two 16-bit numbers, dimension and zero, and the numbers, all with the highest
byte first.
"""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from fightnotes.index.encoder import Vectors
from fightnotes.index.vector_file import Ids

BEGIN = b"PGCOPY\n\xff\r\n\0" + bytes(8)
END = b"\xff\xff"


def rows_to_copy(owners: Ids, vectors: Vectors) -> bytes:
    """Rows of the table `vectors`: `owners` of shape (n, 3) are id, segment and whether it is wordless."""
    dimension = vectors.shape[1]
    rows = np.zeros(len(vectors), dtype=_row(dimension))
    rows["fields"] = 4
    for name, place in (("id", 0), ("segment", 1), ("wordless", 2)):
        rows[f"{name}_size"] = rows.dtype[name].itemsize
        rows[name] = owners[:, place]
    rows["vector_size"] = 4 + 4 * dimension
    rows["dimension"] = dimension
    rows["vector"] = vectors
    return rows.tobytes()


def as_sent(vector: Vectors) -> str:
    """A vector as a value of a query; every number is written so that it is read as it was."""
    return "[" + ",".join(map(repr, vector.tolist())) + "]"


def as_received(raw: Iterable[bytes], dimension: int) -> Vectors:
    """Vectors as the server sends them in binary, row by row."""
    made = np.frombuffer(b"".join(one[4:] for one in raw), dtype=">f4").astype(np.float32)
    return made.reshape(-1, dimension)


def _row(dimension: int) -> np.dtype[np.void]:
    return np.dtype(
        [
            ("fields", ">i2"),
            ("id_size", ">i4"),
            ("id", ">i8"),
            ("segment_size", ">i4"),
            ("segment", ">i8"),
            ("wordless_size", ">i4"),
            ("wordless", ">i1"),
            ("vector_size", ">i4"),
            ("dimension", ">i2"),
            ("unused", ">i2"),
            ("vector", ">f4", (dimension,)),
        ]
    )
