"""The store's SQLite database: opened, checked, and its errors made ours."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path

from fightnotes.errors import StoreBusy, StoreMissing, StoreOutdated, StoreTorn
from fightnotes.index.layout import SCHEMA, SCHEMA_VERSION

_WAIT_SECONDS = 10


@contextmanager
def translated(path: Path) -> Iterator[None]:
    """What SQLite raises about the file, as an error of ours."""
    try:
        yield
    except sqlite3.OperationalError as error:
        if "locked" in str(error):
            raise StoreBusy(f"{path} is being written: try again") from error
        raise StoreTorn(f"{path} is damaged ({error})") from error
    except sqlite3.DatabaseError as error:
        raise StoreTorn(f"{path} is damaged ({error})") from error


def create(path: Path) -> sqlite3.Connection:
    """A new, empty database; nothing is committed yet."""
    connection = sqlite3.connect(path)
    connection.executescript(SCHEMA)
    return connection


def open_for_writing(path: Path) -> sqlite3.Connection:
    """Raises StoreTorn for a damaged file and StoreOutdated for another schema."""
    return _open(f"{path.resolve().as_uri()}?mode=rw", path)


def open_for_reading(path: Path) -> sqlite3.Connection:
    """Raises StoreMissing where there is none, StoreTorn and StoreOutdated as for writing."""
    if not path.is_file():
        raise StoreMissing(f"this library has no index yet: run `fightnotes build --library {path.parent.parent}`")
    return _open(f"{path.resolve().as_uri()}?mode=ro", path)


def _open(uri: str, path: Path) -> sqlite3.Connection:
    with translated(path):
        connection = sqlite3.connect(uri, uri=True, timeout=_WAIT_SECONDS, check_same_thread=False)
        try:
            found = read_meta(connection).get("schema")
        except BaseException:
            connection.close()
            raise
    if found != str(SCHEMA_VERSION):
        connection.close()
        raise StoreOutdated(f"the store has schema {found}, this program writes {SCHEMA_VERSION}")
    return connection


def read_meta(connection: sqlite3.Connection) -> dict[str, str]:
    return dict(connection.execute("SELECT key, value FROM meta"))


def write_meta(connection: sqlite3.Connection, values: Mapping[str, str]) -> None:
    connection.executemany("INSERT OR REPLACE INTO meta (key, value) VALUES (?, ?)", list(values.items()))


def count_rows(connection: sqlite3.Connection, table: str) -> int:
    return int(connection.execute(f"SELECT count(*) FROM {table}").fetchone()[0])
