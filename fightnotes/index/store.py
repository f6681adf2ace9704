"""The derived store, open for reading: what search and the features ask."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable, Sequence
from functools import cached_property
from pathlib import Path

import numpy as np

from fightnotes.errors import StoreOutdated, StoreTorn
from fightnotes.index.changes import changed_files
from fightnotes.index.database import count_rows, open_for_reading, read_meta, translated
from fightnotes.index.encoder import Encoder, Vectors
from fightnotes.index.layout import Layout
from fightnotes.index.vector_file import Ids, nearest, read_vectors, vectors_of
from fightnotes.model import Bout, Segment, Settings, Vocabulary


class Store:
    """One snapshot of a library's index. Reads stay on it even while a build replaces the files on disk."""

    def __init__(self, root: Path) -> None:
        """Raises StoreMissing, StoreOutdated or StoreTorn; a build mends all three."""
        self.layout = Layout(root)
        self.connection: sqlite3.Connection = open_for_reading(self.layout.database)
        with translated(self.layout.database):
            self._meta = read_meta(self.connection)
        self.vectors = read_vectors(self.layout.vectors(self._meta["vectors"]))
        if self.vectors.ntotal != self.size:
            raise StoreTorn(f"{self._meta['vectors']} and {self.layout.database} do not belong together")

    @cached_property
    def size(self) -> int:
        """How many segments there are."""
        return count_rows(self.connection, "segments")

    @cached_property
    def vocabulary(self) -> Vocabulary:
        return Vocabulary.model_validate_json(self._meta["vocabulary"])

    @cached_property
    def settings(self) -> Settings:
        return Settings.model_validate_json(self._meta["settings"])

    @cached_property
    def bouts(self) -> dict[str, Bout]:
        rows = self.connection.execute("SELECT record FROM bouts WHERE NOT duplicate ORDER BY date, id")
        bouts = (Bout.model_validate_json(row[0]) for row in rows)
        return {bout.id: bout for bout in bouts}

    @cached_property
    def encoder(self) -> Encoder:
        encoder = Encoder(self.layout.encoder(self._meta["model"]))
        if encoder.card.identity != self._meta["model"]:
            raise StoreOutdated("the encoder was exported from another model than the store was made with")
        return encoder

    @cached_property
    def concept_vectors(self) -> tuple[tuple[str, ...], Vectors]:
        """Ids of the concepts and the vectors of their labels and definitions, row by row."""
        rows = self.connection.execute("SELECT id, vector FROM concepts ORDER BY id").fetchall()
        if not rows:
            return (), np.empty((0, self.vectors.d), dtype=np.float32)
        return tuple(row[0] for row in rows), np.stack([np.frombuffer(row[1], dtype=np.float32) for row in rows])

    def changed_files(self) -> list[str]:
        """Files of the library that differ from what was indexed, told by size and time alone."""
        return changed_files(self.layout.root, self.connection)

    def nearest(self, vector: Vectors, count: int, among: Sequence[int] | None = None) -> tuple[Ids, Vectors]:
        """Ids and cosines of the segments nearest to a vector of length 1, nearest first."""
        return nearest(self.vectors, vector, count, among)

    def vectors_of(self, ids: Sequence[int]) -> Vectors:
        return vectors_of(self.vectors, ids)

    def segments(self, ids: Iterable[int]) -> dict[int, Segment]:
        """The segments by id."""
        wanted = [(int(number),) for number in ids]
        found: dict[int, Segment] = {}
        for (number,) in wanted:
            row = self.connection.execute("SELECT record FROM segments WHERE id = ?", (number,)).fetchone()
            if row:
                found[number] = Segment.model_validate_json(row[0])
        return found

    def every_segment(self) -> dict[int, Segment]:
        """All segments by id, in the order of the library's files."""
        rows = self.connection.execute("SELECT id, record FROM segments ORDER BY bout_file, id")
        return {number: Segment.model_validate_json(record) for number, record in rows}

    def close(self) -> None:
        self.connection.close()
