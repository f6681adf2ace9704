"""No command opens a socket, and `serve` one on this machine alone: each is run under strace, which shows every system
call about one (Linux).

Debian's package strace; elsewhere these tests say that it is missing.
"""

from __future__ import annotations

import os
import re
import shutil
import signal
import subprocess
import sys
from pathlib import Path

import httpx2
import pytest

from tests.cli.reference import commands
from tests.cli.terminal import PROGRAM
from tests.cut_samples import make_footage
from tests.index.samples import LIBRARY

STRACE = shutil.which("strace")
pytestmark = pytest.mark.skipif(STRACE is None, reason="needs strace: apt-get install strace")

RUNS: dict[str, tuple[tuple[str, ...], ...]] = {
    "start": (("--no-ask",),),
    "draft": (("transcripts/marvane-oduro.vtt",),),
    "check": ((),),
    "build": ((), ()),
    "find": (("steps outside",), ("--tag", "outside-step", "--format", "json"), ("--like", "bouts/first.md:8")),
    "tally": (("concept",), ("concept", "bout", "--row", "outside-step")),
    "compare": (("quell", "marvane"),),
    "follow": ((), ("outside-step", "low-guard", "--picture", "follow.png")),
    "timeline": (("quell-marvane-2030", "--picture", "timeline.svg"),),
    "answer": (("does the outside step work?",), ("why?", "--format", "json")),
    "sheet": (("quell", "marvane", "--to", "sheet.html"),),
    "cut": (("steps outside", "--save", "list.yaml", "--out", "list.otio"),),
    "render": (("list.yaml", "reel.mp4"), ("list.yaml", "copied.mp4", "--copy")),
    "propose": ((),),
    "suggest": ((), ("--take-above", "0.01")),
    "audit": (("--html", "report.html", "--agreement"), ("--fix",)),
    "vocabulary show": ((),),
    "vocabulary check": ((),),
    "vocabulary start": (("--part", "kicks"),),
    "vocabulary add": (("long-guard",),),
    "vocabulary label": (("long-guard", "--also", "arm out"),),
    "vocabulary rename": (("long-guard", "--label", "long guard post"),),
    "vocabulary split": (("low-guard", "--part", "hands-at-waist"),),
    "vocabulary merge": (("hands-at-waist", "long-guard"),),
    "vocabulary retire": (("long-guard",),),
    "vocabulary undo": ((),),
    "vocabulary export": (("words.jsonld",),),
    "vocabulary import": (("words.jsonld",), ("remote.jsonld",)),
}
"""How each command is run, in this order, from nothing built."""
TRACE = (str(STRACE), "-f", "--seccomp-bpf", "-qq", "-e", "trace=network", "-e", "signal=none")
REMOTE = '{"@context": "http://127.0.0.1:9/context.jsonld", "@id": "https://example.org/jab"}'


def traced(log: Path, *words: str, folder: Path, cache: Path | None = None) -> tuple[int, list[str]]:
    """The exit status of a program, and each line about a socket that it or a child of its opened."""
    environment = {**os.environ, "XDG_CACHE_HOME": str(cache)} if cache else dict(os.environ)
    done = subprocess.run(
        [*TRACE, "-o", str(log), sys.executable, *words],
        check=False,
        cwd=folder,
        env=environment,
        capture_output=True,
        text=True,
    )
    if "PTRACE" in done.stderr:
        pytest.skip(f"strace may trace nothing on this machine: {done.stderr.strip()}")
    lines = log.read_text(encoding="utf-8", errors="replace").splitlines()
    return done.returncode, [line for line in lines if "socket(" in line or "connect(" in line]


@pytest.fixture(scope="module")
def library(small_model: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    root = tmp_path_factory.mktemp("traced")
    for name, text in {"library.yaml": f"model: {small_model}\n", **LIBRARY, "remote.jsonld": REMOTE}.items():
        (root / name).parent.mkdir(exist_ok=True)
        (root / name).write_text(text, encoding="utf-8")
    make_footage(root / "quell-marvane.mp4", "25", frames=25 * 45)
    return root


@pytest.mark.parametrize("name", RUNS)
def test_no_socket_is_opened(name: str, library: Path, cache: Path, tmp_path: Path) -> None:
    for number, words in enumerate(RUNS[name]):
        program = ("-c", "from fightnotes.cli.main import app; app()", *name.split())
        status, sockets = traced(tmp_path / f"{number}.log", *program, *words, folder=library, cache=cache / "traced")
        assert sockets == []
        assert status in (0, 1), words  # 1: the job found problems, or refused what names an address


def test_they_did_their_work(library: Path) -> None:
    made = (
        "list.yaml",
        "list.otio",
        "reel.mp4",
        "copied.mp4",
        "report.html",
        "sheet.html",
        "words.jsonld",
        ".fightnotes/manifest.json",
    )
    assert [name for name in made if not (library / name).exists()] == []


def test_serve_listens_on_this_machine_alone_and_connects_nowhere(library: Path, cache: Path, tmp_path: Path) -> None:
    log = tmp_path / "serve.log"
    command = [*TRACE, "-o", str(log), *PROGRAM, "serve", "--port", "0", "--library", str(library)]
    with subprocess.Popen(
        command,
        stderr=subprocess.PIPE,
        text=True,
        start_new_session=True,
        env={**os.environ, "XDG_CACHE_HOME": str(cache / "traced")},
    ) as served:
        assert served.stderr is not None
        said = ""
        try:
            while not (found := re.search(r"http://127\.0\.0\.1:(\d+)/", said)):
                line = served.stderr.readline()
                assert line, said
                said += line
            assert "quell-marvane-2030" in httpx2.get(f"{found[0]}?q=low+gloves", timeout=60).text
            os.killpg(served.pid, signal.SIGINT)
            served.wait(timeout=60)
        finally:
            if served.poll() is None:
                os.killpg(served.pid, signal.SIGKILL)
    assert served.returncode == 0
    lines = log.read_text(encoding="utf-8", errors="replace").splitlines()
    assert [line for line in lines if "connect(" in line or ("sendto(" in line and "AF_" in line)] == []
    bound = [line for line in lines if "bind(" in line]
    assert len(bound) == 1
    assert 'sin_addr=inet_addr("127.0.0.1")' in bound[0]
    families = {line.split("socket(")[1].split(",")[0] for line in lines if "socket(" in line}
    assert families == {"AF_INET"}


def test_no_command_is_forgotten() -> None:
    assert {f"fightnotes {name}" for name in (*RUNS, "serve")} == {command.name for command in commands()}


def test_a_socket_would_be_seen(tmp_path: Path) -> None:
    _, sockets = traced(tmp_path / "log", "-c", "import socket; socket.socket()", folder=tmp_path)
    assert [line.split()[1] for line in sockets] == ["socket(AF_INET,"]
