"""Which bouts must be read again: told from size and time of their files, and from content where those differ."""

from __future__ import annotations

import hashlib
import json
import os
import sqlite3
import time
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from fightnotes import __version__
from fightnotes.reading.opening import read_ordinary

if TYPE_CHECKING:  # a query asks what changed, and need not load what reads files
    from fightnotes.reading.library import Configuration

MISSING = -1
"""Size of a file that is not there or cannot be read; it is looked for again at every build."""
_CLOCK_SLACK_NS = 10_000_000
"""How far the time of a file may lie behind the clock: a tick of the kernel, at most 1/100 s on Linux."""


@dataclass(frozen=True)
class Stamp:
    """A file as it was when it was read."""

    path: str
    size: int
    mtime_ns: int
    digest: str


@dataclass(frozen=True)
class Changes:
    """What differs between the library and its store, by bout file."""

    read_again: tuple[str, ...] = ()
    unchanged: tuple[str, ...] = ()
    removed: tuple[str, ...] = ()
    touched: tuple[tuple[str, Stamp], ...] = ()
    """Bout file and new stamp of files whose time changed and whose content did not."""

    def __bool__(self) -> bool:
        return bool(self.read_again or self.removed or self.touched)


def stamp_of(root: Path, path: str, read_since_ns: int | None = None) -> Stamp:
    """Reads the file for its digest. `read_since_ns` is when it began to be read: a file that has been written, or put
    in another's place, since then gets a stamp that no file has, so that the next build reads it again."""
    try:
        raw, status = read_ordinary(root / path)
    except OSError:
        return Stamp(path, MISSING, 0, "")  # the reader reports it
    changed_ns = max(status.st_mtime_ns, status.st_ctime_ns)
    if read_since_ns is not None and read_since_ns - _CLOCK_SLACK_NS <= changed_ns <= time.time_ns():
        return Stamp(path, MISSING, 0, "")
    return Stamp(path, status.st_size, status.st_mtime_ns, hashlib.sha256(raw).hexdigest())


def find_changes(
    root: Path,
    bout_files: Sequence[str],
    connection: sqlite3.Connection,
    all_again: bool,
    unseen: Sequence[str] = (),
) -> Changes:
    """Compares the folder with the store. `all_again` where what the bouts are read against has changed.

    Bouts with one id are read together or not at all, for only the first of them by path is indexed. Those below a
    folder that is `unseen` stay as they are.
    """
    known = _known_stamps(connection)
    kept = [file for file in known if any(file.startswith(f"{folder}/") for folder in unseen)]
    stirred: set[str] = set()
    touched: list[tuple[str, Stamp]] = []
    for file in bout_files:
        if all_again or file not in known:
            stirred.add(file)
            continue
        pairs = [(stamp, stamp_of(root, stamp.path)) for stamp in known[file] if not _untouched(root, stamp)]
        if any(stamp.digest != now.digest for stamp, now in pairs):
            stirred.add(file)
        else:
            touched.extend((file, now) for stamp, now in pairs if stamp != now)
    removed = sorted(known.keys() - set(bout_files) - set(kept))
    again = stirred | _with_same_id(connection, stirred.union(removed)) - set(removed)
    return Changes(
        read_again=tuple(file for file in bout_files if file in again),
        unchanged=tuple(file for file in (*bout_files, *kept) if file not in again),
        removed=tuple(removed),
        touched=tuple(touched),
    )


def moved_files(root: Path, changes: Changes, connection: sqlite3.Connection) -> tuple[str, ...]:
    """Removed bout files whose content a new file has."""
    if not changes.removed:
        return ()
    known = dict(connection.execute("SELECT bout_file, digest FROM files WHERE path = bout_file"))
    fresh = {stamp_of(root, file).digest for file in changes.read_again if file not in known}
    return tuple(file for file in changes.removed if known[file] in fresh)


def fingerprint(configuration: Configuration) -> str:
    """Of all that a bout's segments depend on beside the bout's own files: what the readers are given, and they."""
    settings = configuration.settings
    parts = [
        __version__,
        settings.model_dump_json(include={"rounds", "default_length", "outcomes", "fighters", "media_roots"}),
        json.dumps(
            [
                [concept.id, concept.label, *concept.also, concept.definition, concept.scope]
                for concept in configuration.vocabulary.concepts
            ]
        ),
        json.dumps(sorted((label, found[0]) for label, found in configuration.vocabulary.by_label.items())),
        json.dumps([[term.say, *term.misheard] for term in configuration.vocabulary.terms]),
        json.dumps(sorted(configuration.refused)),
    ]
    return hashlib.sha256("\n".join(parts).encode()).hexdigest()


def digest_of(path: Path) -> str:
    """Of a file's content; empty where it cannot be read."""
    try:
        return hashlib.sha256(read_ordinary(path)[0]).hexdigest()
    except OSError:
        return ""


def changed_files(root: Path, connection: sqlite3.Connection) -> list[str]:
    """Files whose size or time differs from what the store was built from; reads none of them."""
    stamps = {stamp.path: stamp for stamps in _known_stamps(connection).values() for stamp in stamps}
    return sorted(path for path, stamp in stamps.items() if not _untouched(root, stamp))


def _with_same_id(connection: sqlite3.Connection, files: set[str]) -> set[str]:
    """Files of the bouts in the store that have an id which one of `files` has there."""
    rows = connection.execute("SELECT file, id FROM bouts").fetchall()
    ids = {identity for file, identity in rows if file in files}
    return {file for file, identity in rows if identity in ids}


def _known_stamps(connection: sqlite3.Connection) -> dict[str, list[Stamp]]:
    """What the store was built from, by bout file."""
    known: dict[str, list[Stamp]] = {}
    for bout_file, *stamp in connection.execute("SELECT bout_file, path, size, mtime_ns, digest FROM files"):
        known.setdefault(bout_file, []).append(Stamp(*stamp))
    return known


def _untouched(root: Path, stamp: Stamp) -> bool:
    path = root / stamp.path
    try:
        if not os.access(path, os.R_OK):
            return stamp.size == MISSING
        status = path.stat()
    except OSError:
        return stamp.size == MISSING
    return (status.st_size, status.st_mtime_ns) == (stamp.size, stamp.mtime_ns)
