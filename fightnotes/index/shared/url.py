"""The URL of a shared store. What it holds beside server and database may be a password, and no message shows it."""

from __future__ import annotations

from fightnotes.errors import UsageError


def place_of(url: str) -> str:
    """How a message names the store of a URL. Raises UsageError as `connect` does."""
    try:
        import psycopg
    except ImportError as error:
        raise UsageError(
            "a shared store needs the PostgreSQL client: install fightnotes with the extra `shared`, "
            "as in pip install 'fightnotes[shared]'"
        ) from error
    try:
        if "://" not in url:
            raise psycopg.ProgrammingError
        parts = psycopg.conninfo.conninfo_to_dict(url)
    except psycopg.Error:  # its message may quote the password
        raise UsageError(
            "the URL of the shared store cannot be read: write postgresql://USER@HOST/DATABASE, and keep the password "
            "in PostgreSQL's own password file"
        ) from None
    where = str(parts.get("host") or parts.get("service") or "this machine")
    return f"{where}/{parts['dbname']}" if "dbname" in parts else where
