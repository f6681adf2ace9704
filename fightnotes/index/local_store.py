"""The store beside the text files: SQLite with FTS5, and FAISS."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from fightnotes.errors import StoreError, StoreOutdated, StoreTorn
from fightnotes.index.changes import changed_files, digest_of, find_changes, fingerprint
from fightnotes.index.database import Connection, open_finished, read_meta
from fightnotes.index.encoder import Encoder, Vectors
from fightnotes.index.encoder_cache import encoder_folder
from fightnotes.index.layout import Layout
from fightnotes.index.manifest import Manifest, check_size, read_manifest
from fightnotes.index.occurrences import Occurrences
from fightnotes.index.placed_vectors import (
    PlacedVectors,
    every_cosine,
    nearest,
    passage_cosines,
    place_vectors,
    some_cosines,
)
from fightnotes.index.records import key_of
from fightnotes.index.store import Store
from fightnotes.index.vector_file import Ids
from fightnotes.index.vector_parts import VectorParts, read_parts
from fightnotes.index.word_search import count_holders, near_each_other, texts_of
from fightnotes.model import Bout

if TYPE_CHECKING:  # a query needs the store, and not what reads files
    from fightnotes.reading.library import Configuration

_AT_ONCE = 5000
"""Rows that are fetched at a time."""


class LocalStore(Store):
    """The files of a library's `.fightnotes/`, as the manifest named them when it was opened."""

    def __init__(self, root: Path) -> None:
        """Raises StoreMissing, StoreOutdated or StoreTorn; a build mends all three."""
        self.root, self.layout = root, Layout(root)
        with self._advising():
            self._manifest, self.connection, self._vectors = _open(self.layout)
            self.meta = read_meta(self.connection)
        self.model = self._manifest.model

    def __str__(self) -> str:
        return str(self.connection.path)

    def _rows(self, query: str, *values: object) -> Iterator[tuple[Any, ...]]:
        known = [json.dumps(value) if isinstance(value, list) else value for value in values]
        found = self.connection.execute(query.replace("IN ?", "IN (SELECT value FROM json_each(?))"), known)
        while rows := found.fetchmany(_AT_ONCE):
            yield from rows

    @property
    def is_latest(self) -> bool:
        try:
            return read_manifest(self.layout) == self._manifest
        except StoreError:
            return False

    @cached_property
    def encoder(self) -> Encoder:
        with self._advising():
            return Encoder(encoder_folder(self.model), self.model)

    @cached_property
    def passages(self) -> tuple[Ids, Ids]:
        """Ids of the passages of long segments, ascending, and the segment of each."""
        rows = list(self._rows("SELECT id, segment FROM passages ORDER BY id"))
        ids, segments = np.array(rows, dtype=np.int64).reshape(-1, 2).T
        return ids, segments

    @cached_property
    def wordless(self) -> Ids:
        """Ids of the segments that have no text, such as notes of tags alone."""
        rows = list(self._rows("SELECT id FROM segments WHERE key = ?", key_of("")))
        return np.array(rows, dtype=np.int64).reshape(-1)

    @cached_property
    def _spans(self) -> dict[str, tuple[int, int]]:
        """The first and the last id of a bout's segments, by the bout's file."""
        rows = self._rows("SELECT bout_file, min(id), max(id) FROM segments GROUP BY bout_file")
        return {file: (first, last) for file, first, last in rows}

    def ids_of(self, bouts: Iterable[Bout]) -> Ids:
        """A build writes the segments of a bout one behind the other, and so their ids follow each other."""
        spans = sorted(self._spans[bout.file] for bout in bouts if bout.file in self._spans)
        first, last = np.array(spans, dtype=np.int64).reshape(-1, 2).T
        begins, stops = np.searchsorted(self.ids, first), np.searchsorted(self.ids, last, "right")
        return np.concatenate([self.ids[:0], *(self.ids[a:b] for a, b in zip(begins, stops, strict=True))])

    def changed_files(self) -> list[str]:
        """The bouts' files are told by size and time alone, settings and vocabulary by their content."""
        digests = json.loads(self.meta["digests"])
        changed = [name for name, digest in digests.items() if digest_of(self.root / name) != digest]
        return sorted([*changed, *changed_files(self.root, self.connection)])

    def unchanged_bouts(self, root: Path, files: Sequence[str], configuration: Configuration) -> frozenset[str]:
        other = self.meta["configuration"] != fingerprint(configuration)
        return frozenset(find_changes(root, files, self.connection, all_again=other).unchanged)

    @cached_property
    def _occurrences(self) -> Occurrences:
        return Occurrences(self.connection)

    def best_by_words(
        self, phrases: Sequence[str], words: Sequence[str], count: int, among: Ids | None
    ) -> dict[int, float]:
        return self._occurrences.best(phrases, words, count, among)

    def near_each_other(
        self, phrases: Sequence[str], groups: Sequence[Sequence[str]], count: int, among: Ids | None
    ) -> list[int]:
        return near_each_other(self.connection, phrases, groups, count, among)

    def phrase_holders(self, phrases: Sequence[str]) -> Ids:
        return self._occurrences.holding(phrases)

    def _count_holders(self, stem: str) -> int:
        return count_holders(self.connection, stem)

    def texts(self, ids: Iterable[int]) -> dict[int, tuple[str, str]]:
        return texts_of(self.connection, ids)

    def every_text(self) -> Iterator[tuple[str, str]]:
        yield from self.connection.execute("SELECT text, labels FROM words")

    @property
    def dimension(self) -> int:
        return int(self._vectors.base.d)

    @property
    def ids(self) -> Ids:
        return self._placed.ids

    @property
    def is_searched_whole(self) -> bool:
        return self._vectors.codes is None

    @cached_property
    def _placed(self) -> PlacedVectors:
        return place_vectors(self._vectors, self.passages, self.wordless)

    def vectors_of(self, ids: Ids | Sequence[int]) -> Vectors:
        with self._advising():
            return self._vectors.of(ids)

    def every_cosine(self, vector: Vectors) -> Vectors:
        return every_cosine(self._placed, vector)

    def cosines(self, vector: Vectors, ids: Ids) -> Vectors:
        return some_cosines(self._placed, vector, ids)

    def passage_cosines(self, vector: Vectors, ids: Ids) -> dict[int, Vectors]:
        return passage_cosines(self._placed, vector, ids)

    def nearest(self, vector: Vectors, count: int, among: Ids | None = None) -> tuple[Ids, Vectors]:
        return nearest(self._placed, vector, count, among)

    def close(self) -> None:
        self.connection.close()

    @contextmanager
    def _advising(self) -> Iterator[None]:
        try:
            yield
        except (StoreOutdated, StoreTorn) as error:
            advice = f"run `fightnotes build --library {self.layout.root}`"
            raise type(error)(f"{error}: {advice}") from error


def _open(layout: Layout) -> tuple[Manifest, Connection, VectorParts]:
    """The parts that the manifest names; where a build replaces them meanwhile, those of the next manifest."""
    manifest = read_manifest(layout)
    while True:
        try:
            for part in manifest.parts:
                check_size(layout.folder, part)
            database = layout.file(manifest.database.name)
            return manifest, open_finished(database), read_parts(layout.folder, manifest.vector_files)
        except StoreError:
            now = read_manifest(layout)
            if now == manifest:
                raise
            manifest = now
