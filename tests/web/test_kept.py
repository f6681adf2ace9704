"""The library that stays loaded: renewed behind the page, asked by many threads at once, let go when it is old."""

from __future__ import annotations

import gc
import logging
import shutil
import threading
import time
import weakref
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from pathlib import Path

import pytest
import watchfiles

from fightnotes import Filters
from fightnotes.errors import StoreError
from fightnotes.library import Library, open_library
from fightnotes.web.kept import KeptLibrary
from tests.conftest import MakeLibrary
from tests.index.samples import LIBRARY, rewrite
from tests.web.conftest import OpenClient


@pytest.fixture
def root(make_library: MakeLibrary) -> Path:
    return make_library(LIBRARY)


def until(holds: Callable[[], bool]) -> None:
    for _ in range(1500):
        if holds():
            return
        time.sleep(0.02)
    raise AssertionError("it never came to be")


@contextmanager
def followed(kept: KeptLibrary) -> Iterator[threading.Thread]:
    """Its changes are followed from within; the thread ends when the folder goes."""
    thread = threading.Thread(target=kept.follow_changes)
    thread.start()
    time.sleep(0.5)
    try:
        yield thread
    finally:
        shutil.rmtree(kept.library.root, ignore_errors=True)
        thread.join(timeout=30)
    assert not thread.is_alive()


def texts(library: Library) -> set[str]:
    return {hit.text for hit in library.find(filters=Filters(kind="note"), limit=1000).hits}


def test_a_burst_of_changes_ends_in_the_last_one(root: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    kept = KeptLibrary(root)
    before = kept.library
    builds: list[None] = []
    build = Library.build
    monkeypatch.setattr(Library, "build", lambda library: (builds.append(None), build(library))[1])
    with followed(kept):
        for number in range(60):
            (root / "bouts" / f"new-{number % 20}.md").write_text(
                f"---\nbout: n{number % 20}\n---\n- 0:10 Try {number}.\n"
            )
        until(lambda: texts(kept.library) >= {f"Try {number}." for number in range(40, 60)})
        until(lambda: not kept.stale)
    assert len(builds) < 10
    assert "Try 59." not in texts(before)


def test_what_another_process_does_to_the_index_is_noticed(root: Path) -> None:
    kept = KeptLibrary(root)
    with followed(kept):
        shutil.rmtree(root / ".fightnotes")
        assert "jab" in texts(kept.library)
        until(lambda: (root / ".fightnotes" / "manifest.json").is_file() and kept.library.store.is_latest)
        rewrite(root, "bouts/first.md", "low gloves", "high gloves")
        open_library(root).build()
        until(lambda: "Marvane waits with high gloves." in texts(kept.library))
        until(lambda: kept.library.store.is_latest)
    assert kept.trouble is not None
    assert kept.trouble.startswith("Changes are not noticed any more: the folder ")


def test_files_that_came_while_nobody_watched_are_built(root: Path) -> None:
    KeptLibrary(root)
    (root / "bouts" / "new.md").write_text("---\nbout: new\n---\n- 0:10 Nobody saw it.\n")
    kept = KeptLibrary(root)
    assert "Nobody saw it." not in texts(kept.library)
    with followed(kept):
        until(lambda: "Nobody saw it." in texts(kept.library))


def test_what_keeps_a_build_from_working_is_said_on_every_page(root: Path, open_client: OpenClient) -> None:
    client = open_client(root)
    kept: KeptLibrary = client.app.state.kept  # type: ignore[attr-defined]
    settings = (root / "library.yaml").read_text()
    (root / "library.yaml").write_text("model: no-such-model\n")
    kept.renew()
    for path in ("/", "/bouts", "/nowhere"):
        assert "The index could not be renewed: " in client.get(path).text
    assert "A jab" not in texts(kept.library)
    (root / "library.yaml").write_text(settings)
    kept.renew()
    assert kept.trouble is None


def test_an_unforeseen_failure_is_written_out_and_the_next_build_works(
    root: Path, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    kept = KeptLibrary(root)
    with monkeypatch.context() as patch, caplog.at_level(logging.ERROR):
        patch.setattr(Library, "build", lambda library: 1 // 0)
        kept.renew()
    assert "ZeroDivisionError" in caplog.text
    assert kept.trouble is not None
    assert "ZeroDivisionError" not in kept.trouble
    kept.renew()
    assert kept.trouble is None


def test_a_system_that_lets_no_one_watch_is_said(root: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuses(*_: object, **__: object) -> Iterator[object]:
        raise OSError("OS file watch limit reached.")

    kept = KeptLibrary(root)
    monkeypatch.setattr(watchfiles, "watch", refuses)
    kept.follow_changes()
    assert kept.trouble is not None
    assert kept.trouble.endswith("OS file watch limit reached..")
    kept.renew()
    assert kept.trouble is not None


def test_what_takes_long_holds_up_nothing_else(root: Path) -> None:
    kept = KeptLibrary(root)
    begun, may_end = threading.Event(), threading.Event()
    worked_out: list[str] = []

    def slowly(_: Library) -> str:
        begun.set()
        worked_out.append("slow")
        assert may_end.wait(30)
        return "slow"

    with ThreadPoolExecutor() as pool:
        asked = [pool.submit(kept.once, "slow", slowly) for _ in range(3)]
        assert begun.wait(30)
        assert kept.once("other", lambda _: "quick") == "quick"
        assert "jab" in texts(kept.library)
        rewrite(root, "bouts/first.md", "low gloves", "high gloves")
        kept.renew()
        assert "Marvane waits with high gloves." in texts(kept.library)
        assert kept.once("slow", lambda _: "of the new index") == "of the new index"
        may_end.set()
        assert [one.result(30) for one in asked] == ["slow"] * 3
    assert worked_out == ["slow"]


def test_an_old_snapshot_is_let_go(root: Path) -> None:
    kept = KeptLibrary(root)
    kept.once("bouts", lambda library: library.store.bouts)
    kept.library.find("jab low")
    old = weakref.ref(kept.library.store)
    kept.renew()
    assert old() is kept.library.store  # nothing was built, so nothing takes its place
    rewrite(root, "bouts/first.md", "low gloves", "high gloves")
    kept.renew()
    gc.collect()
    assert old() is None


def test_many_threads_find_what_one_finds(demo: Path) -> None:
    queries = [
        f"{what} {where}" for what in ("jab", "counter", "hook") for where in ("ropes", "head", "corner", "body")
    ]
    queries += ['"lead foot" outside', "Brandaal counters", "oputside stepp", "doesn't bite"]
    one = open_library(demo)
    expected = [one.find(query).as_json() for query in queries]
    with ThreadPoolExecutor(20) as pool:
        shared = open_library(demo)  # nothing is loaded yet: the threads load it together
        assert list(pool.map(lambda query: shared.find(query).as_json(), queries)) == expected


def test_threads_that_share_a_connection_read_their_own_errors(root: Path) -> None:
    """sqlite.org/c3ref/errcode.html: of an error that another thread made meanwhile, nobody can tell whose it is."""
    connection = KeptLibrary(root).library.store.connection

    def read(number: int) -> bool:
        if number % 2:
            return connection.execute("SELECT count(*) FROM segments WHERE id > ?", (number,)).fetchone() is not None
        with pytest.raises(StoreError, match="integer overflow"):
            connection.execute("SELECT abs(?)", (-(2**63),)).fetchone()
        return True

    with ThreadPoolExecutor(20) as pool:
        assert all(pool.map(read, range(2_000)))
