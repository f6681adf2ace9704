"""Bouts read again: from their files to the database's rows."""

from __future__ import annotations

import sqlite3
import time
from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from fightnotes.index.changes import Changes, Stamp, stamp_of
from fightnotes.index.inferred import with_inferred
from fightnotes.index.progress import Progress
from fightnotes.index.records import NewText, add_bout, add_bout_record, remove_bout
from fightnotes.language.note_reader import NoteReader
from fightnotes.model import Vocabulary
from fightnotes.reading.library import BoutReading, Configuration, read_bout, same_id


@dataclass(frozen=True)
class Reread:
    """What a bout's files say, and what they were when they said it."""

    reading: BoutReading
    stamps: tuple[Stamp, ...]


def read_again(
    root: Path, configuration: Configuration, changes: Changes, connection: sqlite3.Connection, progress: Progress
) -> dict[str, Reread]:
    """The bouts that changed, by file; with them those that have an id which one of these has now."""
    progress.begin("Reading", len(changes.read_again))
    found: dict[str, Reread] = {}
    for file in changes.read_again:
        found[file] = _read(root, file, configuration)
        progress.advance(1)
    ids = {one.reading.bout.id for one in found.values() if one.reading.bout}
    unchanged = set(changes.unchanged)
    for file, identity in connection.execute("SELECT file, id FROM bouts").fetchall():
        if identity in ids and file in unchanged:
            found[file] = _read(root, file, configuration)
    return dict(sorted(found.items()))


def replace_bouts(
    connection: sqlite3.Connection, changes: Changes, found: Mapping[str, Reread], vocabulary: Vocabulary
) -> tuple[list[int], list[NewText]]:
    """Old rows out, new rows in; gives the ids of segments that are gone, and the new segments."""
    gone = [number for file in (*changes.removed, *found) for number in remove_bout(connection, file)]
    new: list[NewText] = []
    holders: dict[str, str] = {}
    bouts = [one.reading.bout for one in found.values() if one.reading.bout]
    reader = NoteReader({bout.id: bout for bout in reversed(bouts)}, vocabulary)  # of two with one id the first
    for file, one in found.items():
        reading, bout = one.reading, one.reading.bout
        holder = holders.setdefault(bout.id, file) if bout else file
        if bout and holder != file:  # nothing of it is indexed but the complaint
            reading = replace(reading, bout=None, segments=(), problems=(same_id(bout, holder),))
            add_bout_record(connection, bout, duplicate=True)
        reading = replace(reading, segments=tuple(with_inferred(reading.segments, reader)))
        new.extend(add_bout(connection, file, reading, one.stamps, vocabulary))
    connection.executemany(
        "UPDATE files SET size = ?, mtime_ns = ?, digest = ? WHERE bout_file = ? AND path = ?",
        [(now.size, now.mtime_ns, now.digest, bout_file, now.path) for bout_file, now in changes.touched],
    )
    return gone, new


def _read(root: Path, file: str, configuration: Configuration) -> Reread:
    begun = time.time_ns()
    reading = read_bout(root, file, configuration)
    files = dict.fromkeys((file, *(reading.bout.files if reading.bout else ())))
    return Reread(reading, tuple(stamp_of(root, path, begun) for path in files))
