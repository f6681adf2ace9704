"""Files written or replaced whole or not at all."""

from __future__ import annotations

import hashlib
import os
import re
import shutil
import stat
import tempfile
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path

from fightnotes.errors import FightnotesError, Problem, UnreadableFile
from fightnotes.reading.opening import read_ordinary


def replace_files(contents: Mapping[Path, tuple[bytes | None, bytes | None]], mark: str) -> None:
    """Make each file that holds the first bytes hold the second; None is no file. Permission bits stay.

    All new files lie complete on the disk, named by `temporary_name`, before the first takes its name. A failure
    half-way, or an interrupt, puts the files already replaced back. Raises UnreadableFile where a file holds
    something else, FightnotesError where one cannot be written, and OSError where one cannot be put back.
    """
    waiting: dict[Path, Path] = {}
    begun: list[Path] = []
    try:
        for path, (_, after) in contents.items():
            if after is not None:
                waiting[path] = _written_beside(path, after, mark)
        for path, (before, after) in contents.items():
            if bytes_of(path) != before:
                raise UnreadableFile(Problem(path.name, 0, 0, "a change made meanwhile", "the file as it was read"))
            begun.append(path)
            if after is None:
                path.unlink(missing_ok=True)
            else:
                os.replace(waiting[path], path)
                del waiting[path]
        sync_folders(contents)
    except BaseException as error:
        for path in begun:
            before, after = contents[path]
            if bytes_of(path) == after:
                _put_back(path, before, mark)
        if not isinstance(error, OSError):
            raise
        where = error.filename or "a file"
        raise FightnotesError(f"{where}: cannot be written: {error.strerror}; nothing changed") from error
    finally:
        for temporary in waiting.values():
            temporary.unlink(missing_ok=True)


def temporary_name(path: Path, mark: str) -> Path:
    """Where the new content of a file waits: known from the mark, so that what a killed run left is known as ours."""
    return path.with_name(f".{mark}-{hashlib.sha256(os.fsencode(path.name)).hexdigest()[:8]}.part")


def bytes_of(path: Path) -> bytes | None:
    """What an ordinary file holds; None where there is none. Raises OSError."""
    try:
        return read_ordinary(path)[0]
    except FileNotFoundError:
        return None


@contextmanager
def made_whole(path: Path) -> Iterator[Path]:
    """A place to write in; renamed to `path` when the block ends, and gone when it raises.

    The place has the suffix of `path` and lies alone in a hidden folder beside it, which may take other scratch
    files too; the folder of `path` is made where there is none. What a killed run left of the same file goes.
    Raises FightnotesError where it cannot be written.
    """
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        _sweep(path)
        with tempfile.TemporaryDirectory(prefix=f".{path.name}.{os.getpid()}-", dir=path.parent) as folder:
            made = Path(folder) / f"made{path.suffix}"
            yield made
            with made.open("rb+") as written:
                os.fchmod(written.fileno(), _mode(path))
                os.fsync(written.fileno())
            os.replace(made, path)
        sync_folders([path])
    except OSError as error:
        raise FightnotesError(f"{path}: cannot be written: {error.strerror or error}") from error


def _sweep(path: Path) -> None:
    for folder in path.parent.iterdir():
        match = re.fullmatch(rf"\.{re.escape(path.name)}\.(\d+)-\w+", folder.name)
        if match and folder.is_dir() and not _alive(int(match[1])):
            shutil.rmtree(folder)


def _alive(process: int) -> bool:
    try:
        os.kill(process, 0)
    except ProcessLookupError:
        return False
    except (PermissionError, OverflowError):  # another's process, or a number that is none
        return True
    return True


def write_file(path: Path, content: bytes) -> None:
    """Write a file as `made_whole` does."""
    with made_whole(path) as made:
        made.write_bytes(content)


def _written_beside(path: Path, content: bytes, mark: str) -> Path:
    """A temporary file in the same folder that holds `content` and has the permission bits of `path`."""
    temporary = temporary_name(path, mark)
    try:
        with temporary.open("wb") as out:
            out.write(content)
            out.flush()
            os.fchmod(out.fileno(), _mode(path))
            os.fsync(out.fileno())
    except BaseException:
        temporary.unlink(missing_ok=True)
        raise
    return temporary


def _put_back(path: Path, content: bytes | None, mark: str) -> None:
    if content is None:
        path.unlink(missing_ok=True)
    else:
        os.replace(_written_beside(path, content, mark), path)


def _mode(path: Path) -> int:
    if path.exists():
        return stat.S_IMODE(path.stat().st_mode)
    umask = os.umask(0)
    os.umask(umask)
    return 0o666 & ~umask


def sync_folders(paths: Iterable[Path]) -> None:
    """Have the folders that hold the paths keep their entries over a loss of power."""
    for folder in {path.parent for path in paths}:
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
