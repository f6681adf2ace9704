"""A second build of one library waits for the first, and says so."""

from __future__ import annotations

import subprocess
import sys
import threading
from pathlib import Path

import filelock

from fightnotes.index.layout import Layout
from fightnotes.library import open_library
from tests.index.samples import SEGMENTS, rewrite

COMMAND = "from fightnotes.cli.main import app; app()"
WAITS = "another build of this library is running: waiting for it to end"


class Heard(list[str]):
    def begin(self, what: str, total: int) -> None:
        pass

    def advance(self, steps: int) -> None:
        pass

    def say(self, message: str) -> None:
        self.append(message)


def test_a_second_build_waits_and_says_so_on_standard_error(built: Path) -> None:
    rewrite(built, "bouts/first.md", "low gloves", "high gloves")
    with filelock.FileLock(Layout(built).lock):
        second = subprocess.Popen(
            [sys.executable, "-c", COMMAND, "build", "--library", str(built)],
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
        )
        assert second.stderr is not None
        assert second.stderr.readline() == f"{WAITS}\n"
        assert second.poll() is None
        assert Layout(built).file("store-1.sqlite").exists()
    printed, errors = second.communicate(timeout=120)
    assert (second.returncode, errors) == (0, "")
    assert "texts embedded: 1" in printed


def test_many_builds_at_once_leave_one_whole_store(built: Path) -> None:
    rewrite(built, "bouts/first.md", "low gloves", "high gloves")
    heard = [Heard() for _ in range(4)]
    threads = [threading.Thread(target=open_library(built).build, args=(one,)) for one in heard]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert open_library(built).store.size == SEGMENTS
    assert {message for one in heard for message in one} <= {WAITS}


def test_a_query_does_not_wait_for_a_build(built: Path) -> None:
    with filelock.FileLock(Layout(built).lock):
        assert open_library(built).find("low gloves").hits


def test_a_lock_that_a_killed_build_left_is_free(built: Path) -> None:
    assert Layout(built).lock.exists()
    heard = Heard()
    open_library(built).build(heard)
    assert heard == []
