"""The writer: what a library's own index holds, brought into a shared store in one transaction.

Readers see the old content until it ends, and all of the new from then on; a writer that is killed leaves the old.
"""

from __future__ import annotations

import uuid
from collections.abc import Iterable, Mapping, Sequence
from contextlib import closing
from pathlib import Path

import psycopg

from fightnotes.errors import StoreError, StoreUnreachable
from fightnotes.index.local_store import LocalStore
from fightnotes.index.progress import Progress
from fightnotes.index.shared import vector_search
from fightnotes.index.shared.connecting import SCHEMA_NAME, Connection, connect, translated
from fightnotes.index.shared.mirrored import COLUMNS, BoutRows, Row, digest_of_wordings, digests_of_bouts
from fightnotes.index.shared.published import Published
from fightnotes.index.shared.schema import DROP, SHARED_VERSION, tables
from fightnotes.index.shared.url import place_of
from fightnotes.index.shared.vectors import BEGIN, END, rows_to_copy

_ALONE = 7_305_447_016
"""Of the advisory lock that one writer holds; any number that no other program takes for its own."""
_AT_ONCE = 100
"""Bouts whose rows are held at a time."""
_MUCH = 0.1
"""Share of the bouts from which on the server counts its tables anew, so that it plans by what they hold now."""


def publish(root: Path, url: str, progress: Progress) -> Published:
    """Makes the shared store a mirror of the library's own; nothing is written where it is one already.

    Waits while another writer is at it, and says so. Raises UsageError and StoreUnreachable as `connect` does, and
    StoreError where it holds another library or cannot be written; what it held then stays.
    """
    place = place_of(url)
    with closing(connect(url, reading=False)) as connection, translated(place), connection.transaction():
        _wait_for_turn(connection, progress)
        with closing(LocalStore(root)) as local:  # opened now: a build that ended meanwhile is not taken back
            reason = _ready_tables(connection, local, place, progress)
            return _bring_up_to_date(connection, local, place, reason, progress)


def _wait_for_turn(connection: Connection, progress: Progress) -> None:
    got = connection.execute("SELECT pg_try_advisory_xact_lock(%s)", (_ALONE,)).fetchone()
    if got != (True,):
        progress.say("another build writes to the shared store: waiting for it to end")
        connection.execute("SELECT pg_advisory_xact_lock(%s)", (_ALONE,))


def _ready_tables(connection: Connection, local: LocalStore, place: str, progress: Progress) -> str | None:
    """Makes the tables where there are none of this version and model; gives why."""
    reason = _why_anew(connection, local)
    if reason is None:
        return None
    progress.say(f"making the shared store {place} anew: {reason}")
    _ready_extension(connection, place)
    connection.execute(f"CREATE SCHEMA IF NOT EXISTS {SCHEMA_NAME}")
    connection.execute(f"SET LOCAL search_path = {SCHEMA_NAME}, {_schema_of_vector(connection)}")
    try:
        with connection.transaction():
            connection.execute("SET LOCAL lock_timeout = '1s'")
            connection.execute(DROP)
    except psycopg.errors.LockNotAvailable:
        progress.say("somebody reads the older shared store: waiting for `fightnotes serve` and the like to end")
        connection.execute(DROP)
    connection.execute(tables(local.dimension))
    return reason


def _why_anew(connection: Connection, local: LocalStore) -> str | None:
    (there,) = connection.execute("SELECT to_regclass(%s) IS NOT NULL", (f"{SCHEMA_NAME}.meta",)).fetchone() or (False,)
    if not there:
        return "it held no library yet"
    meta: dict[str, str] = dict(connection.execute(f"SELECT key, value FROM {SCHEMA_NAME}.meta"))
    if meta.get("version") != SHARED_VERSION:
        return f"it has version {meta.get('version')}, this program's is {SHARED_VERSION}"
    if (meta.get("model"), meta.get("dimension")) != (local.model, str(local.dimension)):
        return "its vectors were made by another model"
    return None


def _ready_extension(connection: Connection, place: str) -> None:
    try:
        with connection.transaction():
            connection.execute("CREATE EXTENSION IF NOT EXISTS vector")
    except psycopg.errors.InsufficientPrivilege as error:
        raise StoreUnreachable(
            f"the shared store {place} lacks the extension `vector`: an administrator of the database runs "
            "CREATE EXTENSION vector in it once"
        ) from error
    except psycopg.errors.FeatureNotSupported as error:  # its files are not on the server
        raise StoreError(f"the server of the shared store {place} has no pgvector: install it there") from error


def _schema_of_vector(connection: Connection) -> str:
    row = connection.execute(
        "SELECT quote_ident(n.nspname) FROM pg_extension e JOIN pg_namespace n ON n.oid = e.extnamespace "
        "WHERE e.extname = 'vector'"
    ).fetchone()
    assert row is not None
    return str(row[0])


def _bring_up_to_date(
    connection: Connection, local: LocalStore, place: str, reason: str | None, progress: Progress
) -> Published:
    wanted = digests_of_bouts(local.connection)
    there = {file: bytes(digest) for file, digest in connection.execute("SELECT bout_file, digest FROM published")}
    if there.keys() - {""} and there.keys() - {""} <= there.keys() - wanted.keys():
        raise StoreError(
            f"the shared store {place} holds another library, none of whose bouts is in this one: name another "
            f"database, or drop the schema {SCHEMA_NAME} in it first"
        )
    changed = [file for file in wanted if there.get(file) != wanted[file]]
    gone = there.keys() - wanted.keys()
    progress.begin("Publishing", len(changed))
    _remove(connection, [*gone, *(file for file in changed if file in there)])
    for begin in range(0, len(changed), _AT_ONCE):
        files = changed[begin : begin + _AT_ONCE]
        _add(connection, local, files)
        progress.advance(len(files))
    published = [(file, wanted[file]) for file in changed]
    _copy(connection, "published", "bout_file, digest", published)
    if _write_meta(connection, local) or changed or gone:
        _count(connection, much=len(changed) + len(gone) > _MUCH * len(wanted))
    bouts = {file for file in wanted if file}  # the empty one stands for what is of no bout
    written = sum(file in bouts for file in changed)
    return Published(
        place=place,
        made_anew_because=reason,
        written=written,
        removed=len(gone - {""}),
        unchanged=len(bouts) - written,
    )


def _remove(connection: Connection, bout_files: Sequence[str]) -> None:
    """Takes out all rows of some bouts, and what the stems of their words counted."""
    if not bout_files:
        return
    numbers = [row[0] for row in connection.execute("SELECT id FROM segments WHERE bout_file = ANY(%s)", (bout_files,))]
    connection.execute(
        "WITH gone AS (DELETE FROM postings WHERE segment = ANY(%s) RETURNING stem) "
        "UPDATE stems SET holders = holders - counted.n "
        "FROM (SELECT stem, count(*) AS n FROM gone GROUP BY stem) AS counted WHERE counted.stem = stems.stem",
        (numbers,),
    )
    connection.execute("DELETE FROM stems WHERE holders = 0")
    for table in ("acts", "passages", "vectors"):
        connection.execute(f"DELETE FROM {table} WHERE segment = ANY(%s)", (numbers,))
    for table in ("segments", "files", "problems", "published"):
        connection.execute(f"DELETE FROM {table} WHERE bout_file = ANY(%s)", (bout_files,))
    connection.execute("DELETE FROM bouts WHERE file = ANY(%s)", (bout_files,))


def _add(connection: Connection, local: LocalStore, bout_files: Sequence[str]) -> None:
    rows = BoutRows(local.connection, bout_files)
    by_table: Mapping[str, Iterable[Row]] = {
        "files": rows.files(),
        "bouts": rows.bouts(),
        "problems": rows.problems(),
        "segments": rows.segments(),
        "acts": rows.acts(),
        "passages": rows.passages(),
        "postings": rows.postings,
    }
    for table, found in by_table.items():
        _copy(connection, table, COLUMNS[table], found)
    owners = rows.vector_owners()
    with connection.cursor().copy("COPY vectors (id, segment, wordless, vector) FROM STDIN (FORMAT binary)") as copy:
        copy.write(BEGIN + rows_to_copy(owners, local.vectors_of(owners[:, 0])) + END)
    connection.execute(
        "INSERT INTO stems (stem, holders) SELECT stem, count(*) FROM postings WHERE segment = ANY(%s) GROUP BY stem "
        "ON CONFLICT (stem) DO UPDATE SET holders = stems.holders + excluded.holders",
        (owners[:, 0].tolist(),),
    )


def _write_meta(connection: Connection, local: LocalStore) -> bool:
    """What the store says of itself, and the vectors of the concepts; gives whether any of it was another."""
    wanted = {
        **local.meta,
        "version": SHARED_VERSION,
        "model": local.model,
        "dimension": str(local.dimension),
        "wordings": digest_of_wordings(local.connection),
    }
    there: dict[str, str] = dict(connection.execute("SELECT key, value FROM meta"))
    if wanted.items() <= there.items():
        return False
    connection.execute("DELETE FROM meta")
    _copy(connection, "meta", "key, value", wanted.items())
    if there.get("wordings") != wanted["wordings"]:
        connection.execute("DELETE FROM wordings")
        rows = local.connection.execute("SELECT rowid, concept, kind, key, vector FROM wordings ORDER BY rowid")
        _copy(connection, "wordings", "rowid, concept, kind, key, vector", rows)
    return True


def _count(connection: Connection, much: bool) -> None:
    """A new generation, and the sums that BM25 needs."""
    size, tokens = connection.execute("SELECT count(*), coalesce(sum(length), 0) FROM segments").fetchone() or (0, 0)
    values = {"generation": str(uuid.uuid4()), "size": str(size), "tokens": str(tokens)}
    for key, value in values.items():
        connection.execute(
            "INSERT INTO meta (key, value) VALUES (%s, %s) ON CONFLICT (key) DO UPDATE SET value = excluded.value",
            (key, value),
        )
    if size > vector_search.EXACT_UP_TO:
        connection.execute(vector_search.HNSW)
    if much:
        connection.execute("ANALYZE segments, acts, passages, postings, vectors")


def _copy(connection: Connection, table: str, columns: str, rows: Iterable[Row]) -> None:
    with connection.cursor().copy(f"COPY {table} ({columns}) FROM STDIN") as copy:
        for row in rows:
            copy.write_row([_storable(value) for value in row])


def _storable(value: object) -> object:
    """PostgreSQL's text holds every character but the one of number 0."""
    return value.replace("\0", "\ufffd") if isinstance(value, str) else value
