"""A render whose process is killed: no ffmpeg outlives it, and the next run clears what it left."""

from __future__ import annotations

import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.conftest import RunCommand
from tests.cut_samples import decoded

PROGRAM = (sys.executable, "-c", "from fightnotes.cli.main import app; app()")
LONG = ("--size", "1920x1080", "--quality", "high")

pytestmark = pytest.mark.skipif(
    sys.platform != "linux" or shutil.which("setpriv") is None, reason="needs Linux and util-linux's setpriv"
)


@pytest.mark.parametrize("number", [signal.SIGKILL, signal.SIGTERM])
def test_no_ffmpeg_outlives_a_killed_render_and_the_next_one_clears_up(
    library: Path, run: RunCommand, tmp_path: Path, number: signal.Signals
) -> None:
    saved, folder = tmp_path / "list.yaml", tmp_path / "reels"
    assert run("cut", "--at", "bouts/first.md:14", "--before", "9", "--after", "9", "--save", saved).exit_code == 0
    folder.mkdir()
    words = ["render", str(saved), str(folder / "reel.mp4"), "--library", str(library), *LONG]
    with subprocess.Popen([*PROGRAM, *words], stderr=subprocess.DEVNULL, stdout=subprocess.DEVNULL) as process:
        # The decoder and the encoder: no programs that only look something up.
        wait_for(lambda: any(folder.glob(".reel.mp4.*/picture.mp4")) and len(ffmpegs_of(process.pid)) > 1)
        children = ffmpegs_of(process.pid)
        process.send_signal(number)
        process.wait(60)
    wait_for(lambda: not any(name_of(child) for child in children))
    left = [path.name for path in folder.iterdir()]
    assert len(left) == (1 if number == signal.SIGKILL else 0)
    assert not (folder / "reel.mp4").exists()
    assert run("render", saved, folder / "reel.mp4", "--quality", "draft").exit_code == 0
    assert [path.name for path in folder.iterdir()] == ["reel.mp4"]
    assert len(decoded(folder / "reel.mp4")) > 450


def ffmpegs_of(parent: int) -> list[int]:
    """Process ids of the programs called ffmpeg that a process started; proc(5)."""
    found = []
    for path in Path("/proc").glob("[0-9]*/stat"):
        try:
            fields = path.read_text().rpartition(")")[2].split()
        except OSError:  # it has ended meanwhile
            continue
        if int(fields[1]) == parent and "ffmpeg" in name_of(int(path.parent.name)):
            found.append(int(path.parent.name))
    return found


def name_of(process: int) -> str:
    """Of the program that runs; empty where it has ended."""
    try:
        state = Path(f"/proc/{process}/stat").read_text().rpartition(")")[2].split()[0]
        return "" if state == "Z" else Path(f"/proc/{process}/comm").read_text()
    except OSError:
        return ""


def wait_for(happened: Callable[[], bool]) -> None:
    for _ in range(6000):
        if happened():
            return
        time.sleep(0.01)
    raise AssertionError("nothing happened in a minute")
