"""Files written or replaced whole or not at all."""

from __future__ import annotations

import os
import stat
import tempfile
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path

from fightnotes.errors import FightnotesError, Problem, UnreadableFile


def replace_files(contents: Mapping[Path, tuple[bytes, bytes]]) -> None:
    """Replace each file that holds the first bytes by one that holds the second; permission bits stay.

    All new files lie complete on the disk before the first takes its name. A failure half-way puts
    the files already replaced back. Raises UnreadableFile where a file holds something else,
    FightnotesError where one cannot be written.
    """
    waiting: dict[Path, Path] = {}
    replaced: list[Path] = []
    try:
        for path, (_, after) in contents.items():
            waiting[path] = _written_beside(path, after)
        for path, (before, _) in contents.items():
            if path.read_bytes() != before:
                raise UnreadableFile(Problem(path.name, 0, 0, "a change made meanwhile", "the file as it was read"))
            os.replace(waiting[path], path)
            del waiting[path]
            replaced.append(path)
        _sync_folders(contents)
    except (OSError, UnreadableFile) as error:
        for path in replaced:
            os.replace(_written_beside(path, contents[path][0]), path)
        if isinstance(error, UnreadableFile):
            raise
        where = error.filename or "a file"
        raise FightnotesError(f"{where}: cannot be written: {error.strerror}; nothing changed") from error
    finally:
        for temporary in waiting.values():
            temporary.unlink(missing_ok=True)


@contextmanager
def made_whole(path: Path) -> Iterator[Path]:
    """A place to write in; renamed to `path` when the block ends, and gone when it raises.

    The place has the suffix of `path` and lies alone in a hidden folder beside it, which may take other scratch
    files too; the folder of `path` is made where there is none. Raises FightnotesError where it cannot be written.
    """
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryDirectory(prefix=f".{path.name}.", dir=path.parent) as folder:
            made = Path(folder) / f"made{path.suffix}"
            yield made
            with made.open("rb+") as written:
                os.fchmod(written.fileno(), _mode(path))
                os.fsync(written.fileno())
            os.replace(made, path)
        _sync_folders([path])
    except OSError as error:
        raise FightnotesError(f"{path}: cannot be written: {error.strerror or error}") from error


def write_file(path: Path, content: bytes) -> None:
    """Write a file as `made_whole` does."""
    with made_whole(path) as made:
        made.write_bytes(content)


def _written_beside(path: Path, content: bytes) -> Path:
    """A temporary file in the same folder that holds `content` and has the permission bits of `path`."""
    handle, name = tempfile.mkstemp(prefix=f".{path.name}.", suffix=".part", dir=path.parent)
    try:
        with os.fdopen(handle, "wb") as out:
            out.write(content)
            out.flush()
            os.fchmod(out.fileno(), _mode(path))
            os.fsync(out.fileno())
    except OSError:
        os.unlink(name)
        raise
    return Path(name)


def _mode(path: Path) -> int:
    if path.exists():
        return stat.S_IMODE(path.stat().st_mode)
    umask = os.umask(0)
    os.umask(umask)
    return 0o666 & ~umask


def _sync_folders(paths: Iterable[Path]) -> None:
    for folder in {path.parent for path in paths}:
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
