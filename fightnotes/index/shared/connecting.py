"""A connection to the PostgreSQL server of a shared store; the client's errors are made ours in this one place."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import psycopg

from fightnotes.errors import StoreError, StoreTorn, StoreUnreachable
from fightnotes.index.shared.url import place_of

Connection = psycopg.Connection[tuple[Any, ...]]

SCHEMA_NAME = "fightnotes"
"""PostgreSQL's own schema for the tables: a database holds one library, and may hold tables of others beside it."""
_SETTINGS = f"""
SELECT set_config('search_path', '{SCHEMA_NAME},' || coalesce(
    (SELECT quote_ident(n.nspname) FROM pg_extension e JOIN pg_namespace n ON n.oid = e.extnamespace
     WHERE e.extname = 'vector'), 'public'), false),
set_config('idle_in_transaction_session_timeout', '0', false)
"""
_PATIENCE = 30
"""Seconds that a server has to take a connection, unless the URL says otherwise."""


def connect(url: str, *, reading: bool) -> Connection:
    """A connection that begins a transaction with its first statement; `reading` gives one snapshot for all of it.

    Raises UsageError for what is no URL of PostgreSQL or where the client is not installed, StoreUnreachable where the
    server does not answer or refuses.
    """
    place = place_of(url)
    parts: dict[str, Any] = {"connect_timeout": _PATIENCE, **psycopg.conninfo.conninfo_to_dict(url)}
    parts.setdefault("application_name", "fightnotes")
    with translated(place):
        connection = psycopg.connect(**parts, autocommit=True)
        connection.execute(_SETTINGS)
        connection.autocommit = False
    if reading:
        connection.isolation_level = psycopg.IsolationLevel.REPEATABLE_READ
        connection.read_only = True
    return connection


@contextmanager
def translated(place: str) -> Iterator[None]:
    """Raises StoreUnreachable, StoreTorn or another StoreError for what the client raises."""
    try:
        yield
    except psycopg.errors.InsufficientPrivilege as error:
        raise StoreUnreachable(
            f"the shared store {place} is closed to this user ({_essence(error)}): whoever keeps it grants the rights"
        ) from error
    except (psycopg.errors.UndefinedTable, psycopg.errors.UndefinedColumn, psycopg.errors.UndefinedObject) as error:
        raise StoreTorn(f"the shared store {place} is not as a build leaves it ({_essence(error)})") from error
    except psycopg.OperationalError as error:
        raise StoreUnreachable(f"the shared store {place} does not answer ({_essence(error)})") from error
    except psycopg.Error as error:
        raise StoreError(f"the shared store {place}: {_essence(error)}") from error


def _essence(error: psycopg.Error) -> str:
    """The first line of what the server or the client says."""
    return str(error).strip().partition("\n")[0] or type(error).__name__
