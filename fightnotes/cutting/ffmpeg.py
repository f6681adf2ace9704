"""The ffmpeg program: the system's, else the one that the package imageio-ffmpeg carries."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import tempfile
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import IO

import imageio_ffmpeg

from fightnotes.errors import ExportError

_LAST_LINES = 4
_CONTAINERS = "mov,matroska,avi,mpeg,mpegts,mxf,flv,asf,ogg,nut,gxf,wtv,rm,ivf,dv"  # ffmpeg's own names
"""Kinds of file that hold their film themselves. Playlists and scripts, which name other files, are none of them."""
_CLOSED = ("-protocol_whitelist", "file", "-format_whitelist", _CONTAINERS)
_PIPE = 1 << 20
"""Bytes that a pipe holds, where the system lets us choose: about a picture."""
_NO_GLYPH = re.compile(r"failed to find any fallback with glyph 0x([0-9A-Fa-f]+)")


@cache
def ffmpeg_path() -> str:
    """Raises ExportError where there is none."""
    system = shutil.which("ffmpeg")
    if system:
        return system
    try:
        return str(imageio_ffmpeg.get_ffmpeg_exe())
    except RuntimeError as error:
        raise ExportError("no ffmpeg on this machine: install it, or the package imageio-ffmpeg") from error


@cache
def require_text_filter() -> None:
    """Raises ExportError where this ffmpeg cannot draw text (has no filter `ass`, of libass)."""
    listing = run(["-filters"]).stdout.decode(errors="replace")
    if not any(line.split()[1:2] == ["ass"] for line in listing.splitlines()):
        raise ExportError(f"{ffmpeg_path()} was built without libass and cannot draw text")


def missing_characters(log: str) -> set[str]:
    """The characters that libass says in `log` no font here has, and that it therefore draws as empty boxes.

    Raises ExportError where plain letters are among them: then there is no font at all, and nothing was drawn.
    """
    missing = {chr(int(code, 16)) for code in _NO_GLYPH.findall(log)}
    if any(char.isascii() for char in missing) or "can't find selected font provider" in log:
        raise ExportError("no font on this machine to draw text with: install one, such as DejaVu Sans")
    return missing


def missing_note(characters: set[str]) -> tuple[str, ...]:
    """A sentence about them, where there are any."""
    if not characters:
        return ()
    return (f"No font on this machine has {' '.join(sorted(characters))}: empty boxes stand there.",)


def opening(path: Path, *options: str) -> list[str]:
    """Arguments that read a file and nothing else: no protocol in its name, no other file that it may name."""
    return [*_CLOSED, *options, "-i", named(path)]


def named(path: Path) -> str:
    """A path as ffmpeg takes it for one, whatever colons or dashes stand in it."""
    return f"file:{path}"


def run(arguments: Sequence[str], folder: Path | None = None) -> subprocess.CompletedProcess[bytes]:
    """Run to the end, whatever the exit status. Raises ExportError where the program cannot be started."""
    try:
        return subprocess.run(_command(arguments), capture_output=True, cwd=folder, check=False)
    except OSError as error:
        raise ExportError(f"{ffmpeg_path()} cannot be run: {error.strerror}") from error


@cache
def _bound_to_us() -> tuple[str, ...]:
    """What a command begins with so that the kernel ends it with this process, even a killed one (prctl(2),
    PR_SET_PDEATHSIG); nothing where there is no such program.

    A child then ends when it next reads from or writes to its pipes. A function for the child to run before it
    becomes ffmpeg would do as well, but Python then runs other libraries' hooks, in which an interrupt is lost.
    """
    prefix = ("setpriv", "--pdeathsig", "KILL", "--")  # of util-linux
    try:
        works = subprocess.run([*prefix, "true"], capture_output=True, check=False).returncode == 0
    except OSError:  # there is none
        works = False
    return prefix if works else ()


def _command(arguments: Sequence[str]) -> list[str]:
    return [*_bound_to_us(), ffmpeg_path(), "-hide_banner", "-nostdin", *arguments]


def run_checked(arguments: Sequence[str], doing: str, folder: Path | None = None) -> str:
    """What the program says while it runs. Raises ExportError with its last lines where it fails."""
    done = run(arguments, folder)
    log = done.stderr.decode(errors="replace")
    if done.returncode:
        raise ExportError(f"{doing}: {last_lines(log)}")
    return log


@dataclass(slots=True)
class Child:
    """An ffmpeg at work, with pipes."""

    process: subprocess.Popen[bytes]
    doing: str
    said: IO[bytes]

    @property
    def into(self) -> IO[bytes]:
        assert self.process.stdin is not None
        return self.process.stdin

    @property
    def out(self) -> IO[bytes]:
        assert self.process.stdout is not None
        return self.process.stdout

    def write(self, data: bytes) -> None:
        left = memoryview(data)
        while left:
            left = left[os.write(self.into.fileno(), left) :]

    def ended(self) -> str:
        """What it said, once it has ended. Raises ExportError where it failed."""
        _close(self.into)
        status = self.process.wait()
        self.said.seek(0)
        log = self.said.read().decode(errors="replace")
        if status:
            raise ExportError(f"{self.doing}: {last_lines(log)}")
        return log


@contextmanager
def piped(arguments: Sequence[str], doing: str, folder: Path | None = None) -> Iterator[Child]:
    """An ffmpeg with pipes, apart from the terminal so that an interrupt reaches it only through us. It is killed
    where the block raises. Raises ExportError where it fails."""
    pipe = subprocess.PIPE
    with tempfile.TemporaryFile() as log:
        process = subprocess.Popen(
            _command(arguments),
            bufsize=0,
            stdin=pipe,
            stdout=pipe,
            stderr=log,
            cwd=folder,
            start_new_session=True,
            pipesize=_PIPE,
        )
        child = Child(process, doing, log)
        try:
            yield child
            child.ended()
        finally:
            if process.poll() is None:
                process.kill()
                process.wait()
            _close(child.into)
            _close(child.out)


def hand_on(source: Child, target: Child) -> int:
    """Bytes that went from what one child puts out into another; 0 when there are no more."""
    chunk = os.read(source.out.fileno(), _PIPE)
    target.write(chunk)
    return len(chunk)


def _close(pipe: IO[bytes]) -> None:
    with suppress(BrokenPipeError):  # the other end is gone, and what was still buffered is not wanted any more
        pipe.close()


def last_lines(log: str) -> str:
    lines = [line.strip() for line in log.splitlines() if line.strip()]
    return "; ".join(lines[-_LAST_LINES:]) or "ffmpeg failed and said nothing"
