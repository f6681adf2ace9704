"""`fightnotes serve` as a process of its own: how it begins, and how it ends."""

from __future__ import annotations

import ctypes
import re
import shutil
import signal
import socket
import stat
import sys
import time
from pathlib import Path

import filelock
import httpx2
import pytest

from fightnotes.index.layout import Layout
from fightnotes.library import open_library
from tests.cli.terminal import Running, piped, running
from tests.conftest import MakeLibrary

NOTE = "---\nbout: a\ntitle: A\nmedia: {file: a.mp4, rate: 25}\n---\n- 0:10 A jab.\n"
QUICKLY = 5
"""Seconds in which it ends, on a machine that does something else, too."""


@pytest.fixture
def root(make_library: MakeLibrary) -> Path:
    """Not built yet; but its model is ready, which takes a while where it is not."""
    folder = make_library({"bouts/a.md": NOTE})
    open_library(folder).build()
    shutil.rmtree(Layout(folder).folder)
    return folder


def address_of(served: Running) -> tuple[str, int]:
    found = served.wait_for(r"is shown at (http://127\.0\.0\.1:(\d+)/); Ctrl-C ends it\n")
    return found[1], int(found[2])


def ended(served: Running, number: int) -> None:
    begun = time.monotonic()
    assert served.end(number) == 0
    assert time.monotonic() - begun < QUICKLY
    assert served.said.endswith("serving ended\n")
    assert "Traceback" not in served.said


def test_it_builds_serves_follows_changes_and_ends_with_connections_open(root: Path) -> None:
    (root / "bouts" / "bad.md").write_bytes(b"---\nbout: [\n---\n- 0:10 \xff\n")
    with running("serve", "--port", "0", "--library", root) as served:
        served.wait_for(r"bouts/bad\.md[^\n]*\n")
        address, port = address_of(served)
        with socket.create_connection(("127.0.0.1", port)) as half_asked, httpx2.Client(base_url=address) as client:
            half_asked.sendall(b"GET / HTTP/1.1\r\nHost: 127.0.0.1\r\n")
            page = client.get("/?q=jab").text
            assert "A <mark>jab</mark>." in page
            assert "bouts/bad.md" in page
            (root / "bouts" / "a.md").write_text(NOTE + "- 0:20 A hook to the liver.\n", encoding="utf-8")
            for _ in range(500):
                if "to the liver." in client.get("/?q=hook").text:
                    break
                time.sleep(0.02)
            else:
                raise AssertionError("the change was never seen")
            ended(served, signal.SIGINT)


def test_two_of_one_library_and_the_end_by_a_request(root: Path) -> None:
    with running("serve", "--port", "0", "--library", root) as first:
        _, port = address_of(first)
        taken = piped("serve", "--port", str(port), "--library", root)
        assert taken.returncode == 2
        assert re.search(rf"port {port} cannot be had \(.+\): name another with --port\n", taken.stderr.decode())
        with running("serve", "--port", "0", "--library", root) as second:
            address, _ = address_of(second)
            assert "A <mark>jab</mark>." in httpx2.get(f"{address}?q=jab").text
            ended(second, signal.SIGTERM)
        ended(first, signal.SIGTERM)


def test_it_ends_while_it_builds(root: Path) -> None:
    Layout(root).folder.mkdir()
    with filelock.FileLock(Layout(root).lock), running("serve", "--port", "0", "--library", root) as served:
        served.wait_for("another build of this library is running: waiting for it to end\n")
        ended(served, signal.SIGINT)


@pytest.mark.skipif(sys.platform != "linux", reason="only Linux lets one say which thread a signal is for")
def test_it_ends_by_a_signal_that_another_thread_is_given(root: Path) -> None:
    """As may happen to a program that is traced."""
    with running("serve", "--port", "0", "--library", root) as served:
        address_of(served)
        pid = served.process.pid
        thread = max(int(task.name) for task in Path(f"/proc/{pid}/task").iterdir() if int(task.name) != pid)
        assert ctypes.CDLL(None).tgkill(pid, thread, signal.SIGINT) == 0
        assert served.process.wait(timeout=60) == 0


def test_a_browser_is_opened(root: Path, tmp_path: Path) -> None:
    program, given = tmp_path / "browser", tmp_path / "given"
    program.write_text(f'#!/bin/sh\nprintf %s "$1" > {given}\n')
    program.chmod(program.stat().st_mode | stat.S_IXUSR)
    with running("serve", "--port", "0", "--browse", "--library", root, BROWSER=str(program)) as served:
        address, _ = address_of(served)
        for _ in range(500):
            if given.is_file() and given.read_text() == address:
                break
            time.sleep(0.02)
        else:
            raise AssertionError("no browser was opened")
        ended(served, signal.SIGINT)
