"""Which bouts must be read again: told from size and time of their files, and from content where those differ."""

from __future__ import annotations

import hashlib
import sqlite3
from dataclasses import dataclass, field
from pathlib import Path

MISSING = -1
"""Size of a file that is not there; it is looked for again at every build."""


@dataclass(frozen=True)
class Stamp:
    """A file as it was when it was read."""

    path: str
    size: int
    mtime_ns: int
    digest: str


@dataclass
class Changes:
    """What differs between the library and its store, by bout file."""

    read_again: list[str] = field(default_factory=list)
    unchanged: list[str] = field(default_factory=list)
    removed: list[str] = field(default_factory=list)
    touched: list[tuple[str, Stamp]] = field(default_factory=list)
    """Bout file and new stamp of files whose time changed and whose content did not."""


def stamp_of(root: Path, path: str) -> Stamp:
    """Reads the file for its digest; a file that cannot be read has the size MISSING."""
    try:
        raw = (root / path).read_bytes()
        status = (root / path).stat()
    except OSError:
        return Stamp(path, MISSING, 0, "")  # the reader reports it
    return Stamp(path, status.st_size, status.st_mtime_ns, hashlib.sha256(raw).hexdigest())


def find_changes(root: Path, bout_files: list[str], connection: sqlite3.Connection, all_again: bool) -> Changes:
    """Compares the folder with the store. `all_again` where what the bouts are read against has changed."""
    known: dict[str, list[Stamp]] = {}
    for path, bout_file, size, mtime_ns, digest in connection.execute(
        "SELECT path, bout_file, size, mtime_ns, digest FROM files"
    ):
        known.setdefault(bout_file, []).append(Stamp(path, size, mtime_ns, digest))
    duplicates = {row[0] for row in connection.execute("SELECT file FROM bouts WHERE duplicate")}
    changes = Changes(removed=sorted(known.keys() - set(bout_files)))
    for bout_file in bout_files:
        stamps = known.get(bout_file)
        if all_again or stamps is None or bout_file in duplicates:
            changes.read_again.append(bout_file)
            continue
        moved_on = [(stamp, now) for stamp in stamps if (now := _stamp_if_stirred(root, stamp)) is not None]
        if all(stamp.digest == now.digest and stamp.size == now.size for stamp, now in moved_on):
            changes.unchanged.append(bout_file)
            changes.touched.extend((bout_file, now) for _, now in moved_on)
        else:
            changes.read_again.append(bout_file)
    return changes


def changed_files(root: Path, connection: sqlite3.Connection) -> list[str]:
    """Files whose size or time differs from what the store was built from; reads none of them."""
    rows = connection.execute("SELECT DISTINCT path, size, mtime_ns FROM files")
    return sorted(path for path, size, mtime_ns in rows if _status(root / path) != (size, mtime_ns))


def _stamp_if_stirred(root: Path, stamp: Stamp) -> Stamp | None:
    if _status(root / stamp.path) == (stamp.size, stamp.mtime_ns):
        return None
    return stamp_of(root, stamp.path)


def _status(path: Path) -> tuple[int, int]:
    try:
        status = path.stat()
    except OSError:
        return MISSING, 0
    return status.st_size, status.st_mtime_ns
