"""A build killed at any instant leaves the old store or the new one, whole, and the next build ends its work."""

from __future__ import annotations

import itertools
import random
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

import pytest

from fightnotes.index import vector_parts
from fightnotes.index.layout import Layout
from fightnotes.library import open_library
from tests.index.samples import rewrite, texts_in

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="forks and kills")

SERVER = """
import os, signal, sys, time
from pathlib import Path
import onnxruntime, tokenizers
from fightnotes.index import vector_parts
from fightnotes.index.build import build

COUNTED = ("write_store.py", "vector_parts.py", "manifest.py", "build.py")
vector_parts.EXACT_UP_TO, vector_parts.RECENT_SHARE = int(sys.argv[1]), 10

def kill_at_line(count):
    left = count
    def trace(frame, event, argument):
        nonlocal left
        if not frame.f_code.co_filename.endswith(COUNTED):
            return None
        if event == "line":
            left -= 1
            if left == 0:
                os.kill(os.getpid(), signal.SIGKILL)
        return trace
    sys.settrace(trace)

for order in sys.stdin:
    root, line, seconds = order.rstrip("\\n").split("\\t")
    child = os.fork()
    if child == 0:
        if int(line):
            kill_at_line(int(line))
        build(Path(root))
        os._exit(0)
    if float(seconds):
        time.sleep(float(seconds))
        os.kill(child, signal.SIGKILL)
    print(os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]), flush=True)
"""
"""Runs a build in a child for each order: a library, the line of the build at which the child kills itself and the
seconds after which it is killed (0 for neither). All imports are behind a child when it begins."""


@dataclass
class Server:
    process: subprocess.Popen[str]

    def build(self, root: Path, *, line: int = 0, seconds: float = 0.0) -> int:
        """The exit code of the build; negative where a signal ended it."""
        assert self.process.stdin is not None
        assert self.process.stdout is not None
        self.process.stdin.write(f"{root}\t{line}\t{seconds}\n")
        self.process.stdin.flush()
        return int(self.process.stdout.readline())


@contextmanager
def serving(exact_up_to: int) -> Iterator[Server]:
    process = subprocess.Popen(
        [sys.executable, "-c", SERVER, str(exact_up_to)], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    )
    yield Server(process)
    process.kill()
    process.communicate()


@pytest.fixture(scope="module")
def server() -> Iterator[Server]:
    with serving(vector_parts.EXACT_UP_TO) as server:
        yield server


@pytest.fixture
def edited(built: Path) -> Path:
    return edit(built)


def edit(root: Path) -> Path:
    """One note changed, one bout gone and one come since it was built."""
    rewrite(root, "bouts/first.md", "low gloves", "high gloves")
    (root / "bouts/second.md").unlink()
    (root / "bouts/third.md").write_text("---\nbout: third\n---\n- 0:01 Oduro feints with the shoulder.\n")
    return root


OLD, NEW = "Marvane waits with low gloves.", "Marvane waits with high gloves."


def check(root: Path, before: list[str]) -> str:
    """What the killed build left: the old store or the new one; then the next build, which must end well."""
    found = texts_in(root)
    if found == before:
        left = "old"
    else:
        assert NEW in found
        assert "Oduro feints with the shoulder." in found
        assert len(found) == len(before) - 1
        left = "new"
    report = open_library(root).build()
    assert report.rebuilt_because is None
    assert report.embedded == (2 if left == "old" else 0)
    assert NEW in texts_in(root)
    assert not list(Layout(root).folder.glob("*.part"))
    return left


def copies(edited: Path) -> Iterator[Path]:
    number = 0
    while True:
        number += 1
        copy = edited.with_name(f"copy-{number}")
        shutil.copytree(edited, copy)
        yield copy
        shutil.rmtree(copy)


def test_killed_at_every_few_lines_of_what_writes(edited: Path, server: Server) -> None:
    before = texts_in(edited)
    left: list[str] = []
    for root, line in zip(copies(edited), itertools.count(1, 17), strict=False):
        if server.build(root, line=line) == 0:
            break
        left.append(check(root, before))
    assert len(left) > 10
    assert left == sorted(left, reverse=True), "once the new store is there, no later death brings the old one back"
    assert set(left) == {"old", "new"}


@pytest.mark.parametrize("written", ["codes-*", "recent-*"])
def test_killed_where_vectors_have_codes(built: Path, written: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """In the build that writes the codes, and in one that writes beside them."""
    monkeypatch.setattr(vector_parts, "EXACT_UP_TO", 3)
    monkeypatch.setattr(vector_parts, "RECENT_SHARE", 10)
    if written == "recent-*":
        for old, new in (("low gloves", "no gloves"), ("no gloves", "low gloves")):
            rewrite(built, "bouts/first.md", old, new)
            open_library(built).build()
    edit(built)
    before, left = texts_in(built), []
    with serving(3) as server:
        for root, line in zip(copies(built), itertools.count(1, 29), strict=False):
            if server.build(root, line=line) == 0:
                assert list(Layout(root).folder.glob(written))
                break
            left.append(check(root, before))
    assert set(left) == {"old", "new"}


def test_killed_at_random_instants(edited: Path, server: Server) -> None:
    before = texts_in(edited)
    many = copies(edited)
    begun = time.perf_counter()
    assert server.build(next(many)) == 0
    whole = time.perf_counter() - begun
    chance = random.Random(20310308)
    codes = []
    for root in itertools.islice(many, 12):
        codes.append(server.build(root, seconds=chance.uniform(0, whole)))
        check(root, before)
    assert codes.count(-signal.SIGKILL) > 3


def test_killed_where_there_was_no_store(edited: Path, server: Server) -> None:
    """Nothing is left, or the new store."""
    for path in Layout(edited).folder.glob("*.*"):
        path.unlink()
    found = set()
    for root, line in zip(copies(edited), itertools.count(1, 37), strict=False):
        if server.build(root, line=line) == 0:
            break
        found.add(Layout(root).manifest.exists())
        report = open_library(root).build()
        assert (report.rebuilt_because is None) == (report.embedded == 0)
        assert len(texts_in(root)) == report.segments
    assert found == {True, False}
