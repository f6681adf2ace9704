"""Records put aside for one run, in a file without a name, and given back in order: more of them than memory holds."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import NamedTuple

from fightnotes.index.database import open_scratch

_AT_ONCE = 500
_TABLE = """
CREATE TABLE aside (
    number INTEGER PRIMARY KEY, weight INTEGER NOT NULL, file TEXT NOT NULL, line INTEGER NOT NULL,
    "column" INTEGER NOT NULL, kind TEXT NOT NULL, record TEXT NOT NULL
)"""
_ORDER = 'weight, file, line, "column", kind, number'
_INSERT = 'INSERT INTO aside (weight, file, line, "column", kind, record) VALUES (?, ?, ?, ?, ?, ?)'
_NARROWED = "kind = coalesce(?, kind) AND weight = coalesce(?, weight)"


class PutAside(NamedTuple):
    """A record, and by what it is put in order: each by the next where it is the same, then as they came."""

    weight: int
    file: str
    line: int
    column: int
    kind: str
    record: str


class Aside:
    """The records go when nobody holds this any more."""

    def __init__(self, records: Iterable[PutAside]) -> None:
        """Takes them one by one. Raises StoreError where there is no room for them."""
        self._connection = open_scratch()
        self._connection.execute(_TABLE)
        self._connection.executemany(_INSERT, records)
        self._connection.execute(f"CREATE INDEX in_order ON aside ({_ORDER})")
        self._connection.commit()

    def counts(self, kind: str | None = None, weight: int | None = None) -> list[tuple[int, str, int]]:
        """Weight, kind, and how many there are, in order; of one kind or weight alone where it is given."""
        return self._connection.execute(
            f"SELECT weight, kind, count(*) FROM aside WHERE {_NARROWED} GROUP BY weight, kind ORDER BY weight, kind",
            (kind, weight),
        ).fetchall()

    def records(self, kind: str | None = None, weight: int | None = None) -> Iterator[tuple[int, str]]:
        """Each with a number that is its own; the same may be gone through several times at once."""
        rows = self._connection.execute(
            f"SELECT number, record FROM aside WHERE {_NARROWED} ORDER BY {_ORDER}", (kind, weight)
        )
        while some := rows.fetchmany(_AT_ONCE):
            yield from some

    def remove(self, numbers: Iterable[int]) -> None:
        self._connection.executemany("DELETE FROM aside WHERE number = ?", [(number,) for number in numbers])
        self._connection.commit()
