"""The program as a shell starts it: in a process of its own, at a terminal or with its output piped."""

from __future__ import annotations

import fcntl
import os
import pty
import re
import signal
import struct
import subprocess
import sys
import termios
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

PROGRAM = (sys.executable, "-m", "fightnotes")
_OWN = ("COLUMNS", "NO_COLOR", "FORCE_COLOR", "PYTHONIOENCODING", "PYTHONUTF8", "LC_ALL", "LANG", "VISUAL", "EDITOR")
"""What the terminal of whoever runs the tests may have set."""


def environment(**more: str) -> dict[str, str]:
    kept = {name: value for name, value in os.environ.items() if name not in _OWN}
    return kept | {"LANG": "C.UTF-8", "TERM": "xterm-256color"} | more


def piped(*words: str | Path, cwd: Path | None = None, **more: str) -> subprocess.CompletedProcess[bytes]:
    command = [*PROGRAM, *map(str, words)]
    return subprocess.run(command, cwd=cwd, env=environment(**more), capture_output=True, check=False, timeout=120)


def at_terminal(*words: str | Path, columns: int = 80, **more: str) -> tuple[int, str]:
    """Exit status, and all that reaches a terminal: standard output and error as they come."""
    screen, end = pty.openpty()
    fcntl.ioctl(end, termios.TIOCSWINSZ, struct.pack("HHHH", 24, columns, 0, 0))
    command = [*PROGRAM, *map(str, words)]
    with subprocess.Popen(command, env=environment(**more), stdin=end, stdout=end, stderr=end) as process:
        os.close(end)
        shown = b""
        while piece := _read(screen):
            shown += piece
        status = process.wait(timeout=120)
    os.close(screen)
    return status, shown.decode().replace("\r\n", "\n")


class Running:
    """The program while it runs, with all that it has said so far, on both streams."""

    def __init__(self, process: subprocess.Popen[str]) -> None:
        self.process = process
        self.said = ""
        self._reader = threading.Thread(target=self._read)
        self._reader.start()

    def _read(self) -> None:
        assert self.process.stdout is not None
        for line in self.process.stdout:
            self.said += line

    def wait_for(self, pattern: str) -> re.Match[str]:
        """Until the pattern was said after what was waited for before."""
        for _ in range(3000):
            if found := re.search(pattern, self.said, re.DOTALL):
                self.said = self.said[found.end() :]
                return found
            time.sleep(0.02)
        raise AssertionError(f"{pattern} was not said: {self.said}")

    def end(self, number: int = signal.SIGINT) -> int:
        self.process.send_signal(number)
        status = self.process.wait(timeout=60)
        self._reader.join()
        return status


@contextmanager
def running(*words: str | Path, **more: str) -> Iterator[Running]:
    command = [*PROGRAM, *map(str, words)]
    with subprocess.Popen(
        command, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, env=environment(**more), text=True
    ) as process:
        try:
            yield Running(process)
        finally:
            process.kill()


def _read(screen: int) -> bytes:
    try:
        return os.read(screen, 65536)
    except OSError:  # EIO: the last process at the terminal has ended
        return b""
