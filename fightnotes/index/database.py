"""The store's SQLite database: opened, and its errors made ours in this one place."""

from __future__ import annotations

import sqlite3
import tempfile
import threading
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any, ParamSpec, TypeVar

from fightnotes.errors import StoreError, StoreTorn
from fightnotes.index.layout import SCHEMA

_DAMAGED = (sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB, sqlite3.SQLITE_FORMAT)
"""Result codes (sqlite.org/rescode.html) that only a damaged file gives."""
_P = ParamSpec("_P")
_R = TypeVar("_R")


class Connection(sqlite3.Connection):
    """Raises StoreTorn for a damaged file and StoreError for every other fault that SQLite tells of."""

    path: Path
    alone: threading.RLock
    """Held in every call. SQLite has one last error for a connection, and Python's module asks for it after the call:
    without this, threads that share one would take each other's, and a read that failed for one that found nothing."""

    def cursor(self, factory: Any = None) -> Any:  # the type stubs' own signature
        return super().cursor(factory or Cursor)

    def execute(self, *arguments: Any) -> Cursor:
        cursor: Cursor = self.cursor()
        return cursor.execute(*arguments)

    def executemany(self, *arguments: Any) -> Cursor:
        cursor: Cursor = self.cursor()
        return cursor.executemany(*arguments)

    def executescript(self, script: str) -> sqlite3.Cursor:
        return _translated(self, super().executescript, script)

    def commit(self) -> None:
        _translated(self, super().commit)


class Cursor(sqlite3.Cursor):
    """What `Connection.execute` and `executemany` give."""

    connection: Connection

    def execute(self, *arguments: Any) -> Cursor:
        return _translated(self.connection, super().execute, *arguments)

    def executemany(self, *arguments: Any) -> Cursor:
        return _translated(self.connection, super().executemany, *arguments)

    def fetchone(self) -> Any:
        return _translated(self.connection, super().fetchone)

    def fetchmany(self, size: int | None = None) -> list[Any]:
        return _translated(self.connection, super().fetchmany, size or self.arraysize)

    def fetchall(self) -> list[Any]:
        return _translated(self.connection, super().fetchall)

    def __next__(self) -> Any:
        return _translated(self.connection, super().__next__)


def create(path: Path) -> Connection:
    """A new, empty database."""
    connection = open_draft(path)
    connection.executescript(SCHEMA)
    return connection


def open_draft(path: Path) -> Connection:
    """A database that nobody else reads yet: whatever fails, the file is thrown away, so it needs no journal."""
    connection = _connect(str(path), path)
    connection.execute("PRAGMA journal_mode = OFF")
    connection.execute("PRAGMA synchronous = OFF")
    return connection


def open_scratch() -> Connection:
    """A database for what one run puts aside, in a file without a name that goes when the connection does.

    SQLite makes it in the folder for temporary files when its cache is full (sqlite.org/inmemorydb.html, "Temporary
    Databases").
    """
    connection = _connect("", Path(tempfile.gettempdir()))
    for pragma in ("temp_store = FILE", "journal_mode = OFF", "synchronous = OFF"):
        connection.execute(f"PRAGMA {pragma}")
    return connection


def open_finished(path: Path) -> Connection:
    """A finished database, which never changes: it is read without locks, also from a folder that cannot be written."""
    return _connect(f"{path.resolve().as_uri()}?mode=ro&immutable=1", path)


def read_meta(connection: sqlite3.Connection) -> dict[str, str]:
    return dict(connection.execute("SELECT key, value FROM meta"))


def write_meta(connection: sqlite3.Connection, values: Mapping[str, str]) -> None:
    connection.executemany("INSERT OR REPLACE INTO meta (key, value) VALUES (?, ?)", list(values.items()))


def count_rows(connection: sqlite3.Connection, table: str) -> int:
    return int(connection.execute(f"SELECT count(*) FROM {table}").fetchone()[0])


def _connect(database: str, path: Path) -> Connection:
    try:
        connection = sqlite3.connect(
            database, uri=database.startswith("file:"), factory=Connection, check_same_thread=False
        )
    except sqlite3.Error as error:
        raise _translation(error, path) from error
    connection.path, connection.alone = path, threading.RLock()
    return connection


def _translated(connection: Connection, call: Callable[_P, _R], *arguments: _P.args, **named: _P.kwargs) -> _R:
    try:
        with connection.alone:
            return call(*arguments, **named)
    except sqlite3.Error as error:
        raise _translation(error, connection.path) from error


def _translation(error: sqlite3.Error, path: Path) -> StoreError:
    if _tells_damage(error):
        return StoreTorn(f"{path} is damaged ({error}): `fightnotes build` makes it anew")
    return StoreError(f"{path}: {error}")


def _tells_damage(error: sqlite3.Error) -> bool:
    """Also where this program's own statements fail, as a lost table makes them, and where text is no UTF-8 (which
    has no code)."""
    code = getattr(error, "sqlite_errorcode", sqlite3.SQLITE_ERROR) & 0xFF  # the primary of an extended code
    if code in _DAMAGED:
        return True
    return isinstance(error, sqlite3.OperationalError) and code == sqlite3.SQLITE_ERROR and "syntax" not in str(error)
