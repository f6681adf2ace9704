"""Commands that ask, run at a terminal."""

from __future__ import annotations

import os
import pty
import select
import subprocess
import sys
import time


class Terminal:
    """The program at a pseudo-terminal, answered as a person does."""

    def __init__(self, *words: str) -> None:
        command = [sys.executable, "-c", "from fightnotes.cli.main import app; app()", *words]
        ours, theirs = pty.openpty()
        self._process = subprocess.Popen(command, stdin=theirs, stdout=theirs, stderr=theirs, close_fds=True)
        os.close(theirs)
        self._screen = ours
        self.seen = ""
        self._read_to = 0

    def answer(self, question: str, text: str) -> None:
        limit = time.monotonic() + 60
        while question not in self.seen[self._read_to :]:
            assert time.monotonic() < limit, f"waited for {question!r}, saw {self.seen!r}"
            self._read()
        self._read_to = len(self.seen)
        os.write(self._screen, f"{text}\n".encode())

    def end(self) -> int:
        while self._read():
            pass
        return self._process.wait(60)

    def _read(self) -> bool:
        if not select.select([self._screen], [], [], 5)[0]:
            return self._process.poll() is None
        try:
            more = os.read(self._screen, 4096).decode()
        except OSError:  # Linux says so where the other end is closed
            return False
        self.seen += more
        return bool(more)
