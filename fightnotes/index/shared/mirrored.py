"""What of the local store a shared one holds: a digest of each bout's rows, and the rows themselves, to be copied."""

from __future__ import annotations

import hashlib
import json
from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from typing import Any

import numpy as np

from fightnotes.index.database import Connection
from fightnotes.index.layout import ACT_COLUMNS, SEGMENT_COLUMNS
from fightnotes.index.records import PROBLEM_COLUMNS, key_of
from fightnotes.index.shared.tokens import postings_of
from fightnotes.index.vector_file import Ids

Row = tuple[Any, ...]
_SEGMENT_COLUMNS = ", ".join(f"s.{name}" for name in SEGMENT_COLUMNS)

_DIGESTED = (
    "SELECT bout_file, path, size, digest FROM files ORDER BY bout_file, path",
    "SELECT file, duplicate, record FROM bouts ORDER BY file",
    'SELECT bout_file, file, line, "column", found, expected, kind FROM problems ORDER BY bout_file, rowid',
    "SELECT s.bout_file, s.id, s.record, w.labels FROM segments s JOIN words w ON w.rowid = s.id ORDER BY s.id",
    "SELECT s.bout_file, p.id, p.segment FROM passages p JOIN segments s ON s.id = p.segment ORDER BY p.id",
)
"""All that the rows of a bout are made of; its file first. Acts, words and vectors follow from the records."""


def digests_of_bouts(local: Connection) -> dict[str, bytes]:
    """By bout file; what is of no bout, such as problems of the settings, has an empty one. Reads the whole store."""
    digests: dict[str, hashlib._Hash] = defaultdict(hashlib.sha256)
    for query in _DIGESTED:
        for bout_file, *values in local.execute(query):
            digests[bout_file].update(repr(values).encode())
    return {bout_file: digest.digest() for bout_file, digest in digests.items()}


def digest_of_wordings(local: Connection) -> str:
    digest = hashlib.sha256()
    for row in local.execute("SELECT concept, kind, key, vector FROM wordings ORDER BY rowid"):
        digest.update(repr(row).encode())
    return digest.hexdigest()


class BoutRows:
    """The rows of some bouts, table by table, in the order of the columns that `COLUMNS` names."""

    def __init__(self, local: Connection, bout_files: Sequence[str]) -> None:
        self._local, self._files = local, json.dumps(list(bout_files))
        texts = self._select(
            "SELECT rowid, text, labels FROM words WHERE rowid IN (SELECT id FROM segments WHERE bout_file IN ({})) "
            "ORDER BY rowid"
        )
        postings = list(postings_of(texts))
        self._lengths: dict[int, int] = defaultdict(int)
        for _, number, places, label_places in postings:
            self._lengths[number] += len(places) + len(label_places)
        self.postings: list[Row] = [
            (stem, number, self._lengths[number], places, label_places)
            for stem, number, places, label_places in postings
        ]

    def files(self) -> Iterable[Row]:
        return self._select("SELECT bout_file, path, size, digest FROM files WHERE bout_file IN ({})")

    def bouts(self) -> Iterator[Row]:
        for file, identity, date, duplicate, record in self._select(
            "SELECT file, id, date, duplicate, record FROM bouts WHERE file IN ({})"
        ):
            yield file, identity, date, bool(duplicate), record

    def problems(self) -> Iterable[Row]:
        return self._select(f"SELECT bout_file, {PROBLEM_COLUMNS} FROM problems WHERE bout_file IN ({{}})")

    def segments(self) -> Iterator[Row]:
        for number, *values in self._select(
            f"SELECT s.id, s.bout_file, s.key, s.date, s.record, w.labels, {_SEGMENT_COLUMNS} "
            "FROM segments s JOIN words w ON w.rowid = s.id WHERE s.bout_file IN ({}) ORDER BY s.id"
        ):
            yield number, *values, self._lengths[number]

    def acts(self) -> Iterator[Row]:
        for segment, inferred, *values in self._select(
            f"SELECT segment, inferred, concept, corner, {ACT_COLUMNS} FROM acts "
            "WHERE segment IN (SELECT id FROM segments WHERE bout_file IN ({})) ORDER BY rowid"
        ):
            yield segment, bool(inferred), *values

    def passages(self) -> Iterable[Row]:
        return self._select(
            "SELECT id, segment, key FROM passages "
            "WHERE segment IN (SELECT id FROM segments WHERE bout_file IN ({})) ORDER BY id"
        )

    def vector_owners(self) -> Ids:
        """A row for each vector: its id, the segment that it is of, and whether that has no text."""
        wordless = key_of("")
        rows = [(number, number, key == wordless) for number, _, key, *_ in self.segments()]
        rows += [(number, segment, False) for number, segment, _ in self.passages()]
        return np.array(rows, dtype=np.int64).reshape(-1, 3)

    def _select(self, query: str) -> Iterator[Row]:
        yield from self._local.execute(query.format("SELECT value FROM json_each(?)"), (self._files,))


COLUMNS = {
    "files": "bout_file, path, size, digest",
    "bouts": "file, id, date, duplicate, record",
    "problems": f"bout_file, {PROBLEM_COLUMNS}",
    "segments": f"id, bout_file, key, date, record, labels, {', '.join(SEGMENT_COLUMNS)}, length",
    "acts": f"segment, inferred, concept, corner, {ACT_COLUMNS}",
    "passages": "id, segment, key",
    "postings": "stem, segment, length, places, label_places",
}
