"""The ffmpeg program: the system's, else the one that the package imageio-ffmpeg carries."""

from __future__ import annotations

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


def run(arguments: Sequence[str], folder: Path | None = None) -> subprocess.CompletedProcess[bytes]:
    """Run to the end, whatever the exit status. Raises ExportError where the program cannot be started."""
    command = [ffmpeg_path(), "-hide_banner", "-nostdin", *arguments]
    try:
        return subprocess.run(command, capture_output=True, cwd=folder, check=False)
    except OSError as error:
        raise ExportError(f"{command[0]} cannot be run: {error.strerror}") from error


def run_checked(arguments: Sequence[str], doing: str, folder: Path | None = None) -> str:
    """What the program says while it runs. Raises ExportError with its last lines where it fails."""
    done = run(arguments, folder)
    log = done.stderr.decode(errors="replace")
    if done.returncode:
        raise ExportError(f"{doing}: {last_lines(log)}")
    return log


@dataclass(slots=True)
class Child:
    process: subprocess.Popen[bytes]
    log: str = ""
    """What it said, once it has ended well."""

    @property
    def into(self) -> IO[bytes]:
        assert self.process.stdin is not None
        return self.process.stdin

    @property
    def out(self) -> IO[bytes]:
        assert self.process.stdout is not None
        return self.process.stdout


@contextmanager
def piped(arguments: Sequence[str], doing: str, folder: Path | None = None) -> Iterator[Child]:
    """An ffmpeg with pipes, apart from the terminal so that an interrupt reaches it only through us. It is killed
    where the block raises. Raises ExportError where it fails."""
    command = [ffmpeg_path(), "-hide_banner", "-nostdin", "-loglevel", "warning", *arguments]
    with tempfile.TemporaryFile() as log:
        process = subprocess.Popen(
            command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=log, cwd=folder, start_new_session=True
        )
        child = Child(process)
        try:
            yield child
            _close(child.into)
            status = process.wait()
        finally:
            if process.poll() is None:
                process.kill()
                process.wait()
            _close(child.into)
            _close(child.out)
        log.seek(0)
        child.log = log.read().decode(errors="replace")
    if status:
        raise ExportError(f"{doing}: {last_lines(child.log)}")


def _close(pipe: IO[bytes]) -> None:
    with suppress(BrokenPipeError):  # the other end is gone, and what was still buffered is not wanted any more
        pipe.close()


def last_lines(log: str) -> str:
    lines = [line.strip() for line in log.splitlines() if line.strip()]
    return "; ".join(lines[-_LAST_LINES:]) or "ffmpeg failed and said nothing"
