"""The page over a team's archive: it shows what is published, and builds nothing itself."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable
from pathlib import Path

import psycopg
import pytest

from fightnotes.errors import StoreMissing
from fightnotes.index.layout import Layout
from fightnotes.library import open_library
from fightnotes.web import kept
from fightnotes.web.kept import KeptLibrary
from tests.conftest import MakeLibrary
from tests.index.samples import LIBRARY, rewrite


def test_it_shows_the_next_content_when_that_is_published(
    make_library: MakeLibrary, team_store: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(kept, "_ASKED_EVERY", 0.05)
    root, reader = make_library(LIBRARY), tmp_path / "reader"
    reader.mkdir()
    with pytest.raises(StoreMissing):
        KeptLibrary(reader, shared=team_store)
    open_library(root, team_store).build()
    page = KeptLibrary(reader, shared=team_store)
    before = page.library
    threading.Thread(target=page.follow_changes, daemon=True).start()
    rewrite(root, "bouts/first.md", "low gloves", "high gloves")
    open_library(root).build()
    time.sleep(0.3)
    assert page.library is before
    open_library(root, team_store).build()
    until(lambda: page.library is not before)
    assert "high gloves" in page.library.find("high gloves").hits[0].segment.text
    assert "low gloves" in before.find("low gloves").hits[0].segment.text
    assert (page.trouble, page.stale) == (None, False)
    assert not Layout(reader).folder.exists()


def test_it_comes_back_when_the_server_does(
    make_library: MakeLibrary, team_store: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(kept, "_ASKED_EVERY", 0.05)
    root = make_library(LIBRARY)
    open_library(root, team_store).build()
    page = KeptLibrary(root, shared=team_store)
    threading.Thread(target=page.follow_changes, daemon=True).start()
    name = team_store.partition("@/")[2].partition("?")[0]
    others = team_store.replace(f"/{name}?", "/postgres?")
    with psycopg.connect(others, autocommit=True) as connection:
        connection.execute(f"ALTER DATABASE {name} ALLOW_CONNECTIONS false".encode())
        connection.execute("SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE datname = %s", (name,))
        until(lambda: page.trouble is not None)
        assert "does not answer" in str(page.trouble)
        connection.execute(f"ALTER DATABASE {name} ALLOW_CONNECTIONS true".encode())
    until(lambda: page.trouble is None, lambda: page.trouble)
    assert page.library.find("low gloves").hits


def until(reached: Callable[[], bool], why: Callable[[], object] = str) -> None:
    deadline = time.monotonic() + 15
    while not reached() and time.monotonic() < deadline:
        time.sleep(0.05)
    assert reached(), why()
