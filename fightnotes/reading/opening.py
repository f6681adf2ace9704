"""Which files a library may open, and how: ordinary files in its folder or its media roots, wherever links lead.

Nothing else is opened for it: no pipe or device, which may have no end, no file that a path or a link leads to outside,
and as footage no playlist, which would send ffmpeg to further files and to addresses.
"""

from __future__ import annotations

import os
import re
import stat
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import BinaryIO

from fightnotes.errors import Problem, UnreadableFile

LARGEST = 256 * 2**20
"""Bytes of a text file; a year's notes are a thousandth of it."""
WITHIN = "a file in the library or in one of its media_roots"
"""What is expected of a path, in words."""

_ATTEMPTS = 3
_KINDS = (
    (stat.S_ISDIR, "a folder"),
    (stat.S_ISFIFO, "a pipe"),
    (stat.S_ISSOCK, "a socket"),
    (stat.S_ISCHR, "a device"),
    (stat.S_ISBLK, "a device"),
)
_SCHEME = re.compile(r"[A-Za-z][A-Za-z0-9+.,-]*:")
"""What begins an address (RFC 3986, 3.1), with the comma that ffmpeg takes in names of its protocols, too."""
_TEXT = re.compile(rb"[\t\n\r\x20-\x7e\x80-\xff]+")
_BEGINNING = 64
"""Bytes. All containers have a control character among their first, and no playlist has one."""


class NotOrdinary(OSError):
    """What is there is no ordinary file, or none that can be read whole."""

    def __init__(self, what: str) -> None:
        super().__init__(0, what)
        self.what = what


@contextmanager
def open_ordinary(path: Path) -> Iterator[BinaryIO]:
    """An ordinary file to read; a pipe is not waited for. Raises NotOrdinary, OSError."""
    _require_ordinary(path.stat())
    with open(path, "rb", opener=_without_waiting) as file:
        _require_ordinary(os.fstat(file.fileno()))  # another may stand there by now
        yield file


def read_ordinary(path: Path) -> tuple[bytes, os.stat_result]:
    """An ordinary file's bytes, all of one moment, and its size and times then.

    Raises NotOrdinary, for a file above `LARGEST` and one that is being written, too; OSError.
    """
    for _ in range(_ATTEMPTS):
        with open_ordinary(path) as file:
            before = os.fstat(file.fileno())
            if before.st_size > LARGEST:
                raise NotOrdinary(f"a file of over {LARGEST // 2**20} MB")
            raw = file.read(before.st_size + 1)
            after = os.fstat(file.fileno())
        if (before.st_size, before.st_mtime_ns) == (after.st_size, after.st_mtime_ns) and len(raw) == after.st_size:
            return raw, after
    raise NotOrdinary("a file that changes while it is read")


def allowed_folders(library: Path, media_roots: Iterable[str] = ()) -> tuple[Path, ...]:
    """The library's folder, then each media root as the settings write it, links followed."""
    return tuple(Path(os.path.realpath(library / root)) for root in (".", *media_roots))


def leads_outside(path: Path, folders: Iterable[Path]) -> bool:
    """Whether a path, links followed, lies in none of the `allowed_folders`."""
    real = Path(os.path.realpath(path))
    return not any(real.is_relative_to(folder) for folder in folders)


def fault_of_name(file: str, folders: Sequence[Path]) -> tuple[str, str] | None:
    """What is wrong with a name of footage by itself, as found and expected; None where nothing is."""
    if _SCHEME.match(file):
        return f"the address '{file}'", f"{WITHIN}; ./ goes before a name with a colon"
    joined = (Path(os.path.normpath(folder / file)) for folder in folders)
    if "\0" in file or not any(path.is_relative_to(folder) for path in joined for folder in folders):
        return f"'{file}', which lies outside", WITHIN
    return None


def find_footage(file: str, folders: Sequence[Path]) -> Path | None:
    """The file that front matter names as footage, in the first of the folders that has it, links followed.

    None where none has it. Raises UnreadableFile where it must not be opened: it lies outside all `folders`, or is no
    ordinary file, or text, as playlists and scripts are.
    """
    fault = fault_of_name(file, folders)
    if fault is not None:
        raise _refused(file, *fault)
    there = [folder / file for folder in folders if (folder / file).exists()]
    if not there:
        return None
    path = next((path for path in there if not leads_outside(path, folders)), None)
    if path is None:
        raise _refused(file, f"a link to {os.path.realpath(there[0])}, which lies outside", WITHIN)
    try:
        with open_ordinary(path) as opened:
            beginning = opened.read(_BEGINNING)
    except OSError as error:
        raise _refused(file, error.strerror or str(error), "a media file that can be read") from error
    if _TEXT.fullmatch(beginning):
        raise _refused(file, "text, such as a playlist", "a media file")
    return path.resolve()


def _without_waiting(name: str, flags: int) -> int:
    return os.open(name, flags | getattr(os, "O_NONBLOCK", 0))  # Windows has none, nor named pipes among files


def _require_ordinary(status: os.stat_result) -> None:
    if not stat.S_ISREG(status.st_mode):
        raise NotOrdinary(next((name for is_kind, name in _KINDS if is_kind(status.st_mode)), "something else"))


def _refused(file: str, found: str, expected: str) -> UnreadableFile:
    return UnreadableFile(Problem(file, 0, 0, found, expected))
