"""The store that a team shares: PostgreSQL with pgvector, a mirror of the writer's own store."""

from __future__ import annotations

import json
import weakref
from collections.abc import Iterable, Iterator, Sequence
from contextlib import closing, contextmanager
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from fightnotes.errors import StoreError, StoreMissing, StoreOutdated, StoreTorn
from fightnotes.index.changes import fingerprint
from fightnotes.index.encoder import Encoder, Vectors
from fightnotes.index.encoder_cache import encoder_folder, ready_encoder
from fightnotes.index.model_source import locate_model
from fightnotes.index.progress import Silent
from fightnotes.index.shared.changed import changed_here, is_as_indexed
from fightnotes.index.shared.connecting import SCHEMA_NAME, Connection, connect, translated
from fightnotes.index.shared.schema import SHARED_VERSION
from fightnotes.index.shared.url import place_of
from fightnotes.index.shared.vector_search import VectorSearch
from fightnotes.index.shared.word_search import WordSearch
from fightnotes.index.store import Store
from fightnotes.index.vector_file import Ids

if TYPE_CHECKING:  # a query needs the store, and not what reads files
    from fightnotes.reading.library import Configuration


class SharedStore(Store):
    """One transaction of the server, which goes on showing what was there when it began.

    It holds no lock that a writer waits for, and what it shows is kept by the server until it is closed.
    """

    def __init__(self, root: Path, url: str) -> None:
        """Raises StoreMissing where nothing was published, StoreOutdated where another version did it, and
        StoreUnreachable and UsageError as `connect` does."""
        self.root, self._url, self._place = root, url, place_of(url)
        self._connection = connect(url, reading=True)
        weakref.finalize(self, self._connection.close)
        try:
            self.meta = _read_meta(self._connection, self._place)
        except StoreError:
            self.close()
            raise
        self.model = self.meta["model"]
        self._words = WordSearch(self._connection, int(self.meta["size"]), int(self.meta["tokens"]))
        self._vectors = VectorSearch(self._connection, self.dimension, int(self.meta["size"]))

    def __str__(self) -> str:
        return f"the shared store {self._place}"

    def _rows(self, query: str, *values: object) -> Iterator[tuple[Any, ...]]:
        asked = query.replace("IN ?", "= ANY(%s)").replace("?", "%s")
        with self._speaking():
            yield from self._connection.execute(asked, values)

    @property
    def is_latest(self) -> bool:
        """Asked in a connection of its own, as this one sees no later content; false, where this one was cut off."""
        try:
            next(self._rows("SELECT 1"))
            with closing(connect(self._url, reading=True)) as now:
                return _read_meta(now, self._place)["generation"] == self.meta["generation"]
        except StoreError:
            return False

    @cached_property
    def encoder(self) -> Encoder:
        """Exported first on a machine that has built nothing. Raises ModelError where it lacks the model."""
        folder = encoder_folder(self.model)
        if folder.exists():
            with self._advising():
                return Encoder(folder, self.model)
        source = locate_model(self.settings.model, self.root)
        if source.identity != self.model:
            raise StoreOutdated(f"{self} was made with another model than the one on this machine")
        return ready_encoder(source, Silent())

    def changed_files(self) -> list[str]:
        """Told by size and content, as times differ from machine to machine; nothing, where none of the files is here:
        whoever only reads the store need not have them."""
        stamps = [(path, size, digest) for path, size, digest in self._rows("SELECT path, size, digest FROM files")]
        return changed_here(self.root, stamps, json.loads(self.meta["digests"]))

    def unchanged_bouts(self, root: Path, files: Sequence[str], configuration: Configuration) -> frozenset[str]:
        """Told by content. A bout that shares its id with one that changed or is new here may now be the first."""
        if self.meta["configuration"] != fingerprint(configuration):
            return frozenset()
        kept: dict[str, bool] = {}
        for bout_file, path, size, digest in self._rows("SELECT bout_file, path, size, digest FROM files"):
            kept[bout_file] = kept.get(bout_file, True) and is_as_indexed(root / path, size, digest)
        ids: dict[str, str] = dict(self._rows("SELECT file, id FROM bouts"))
        there = set(files)
        stirred = {ids.get(file) for file in kept.keys() | there if file not in there or not kept.get(file)}
        return frozenset(file for file in files if kept.get(file) and ids.get(file) not in stirred)

    def best_by_words(
        self, phrases: Sequence[str], words: Sequence[str], count: int, among: Ids | None
    ) -> dict[int, float]:
        with self._speaking():
            return self._words.best(phrases, words, count, among)

    def near_each_other(
        self, phrases: Sequence[str], groups: Sequence[Sequence[str]], count: int, among: Ids | None
    ) -> list[int]:
        with self._speaking():
            return self._words.near_each_other(phrases, groups, count, among)

    def phrase_holders(self, phrases: Sequence[str]) -> Ids:
        with self._speaking():
            return self._words.phrase_holders(phrases)

    def _count_holders(self, stem: str) -> int:
        with self._speaking():
            return self._words.count_holders(stem)

    def texts(self, ids: Iterable[int]) -> dict[int, tuple[str, str]]:
        rows = self._rows("SELECT id, record, labels FROM segments WHERE id IN ?", [int(number) for number in ids])
        return {number: (_text_in(record), labels) for number, record, labels in rows}

    def every_text(self) -> Iterator[tuple[str, str]]:
        for record, labels in self._rows("SELECT record, labels FROM segments ORDER BY id"):
            yield _text_in(record), labels

    @cached_property
    def dimension(self) -> int:
        return int(self.meta["dimension"])

    @cached_property
    def ids(self) -> Ids:
        return np.array([row[0] for row in self._rows("SELECT id FROM segments ORDER BY id")], dtype=np.int64)

    @property
    def is_searched_whole(self) -> bool:
        """Never: the server gives the nearest, and need not send all."""
        return False

    def vectors_of(self, ids: Ids | Sequence[int]) -> Vectors:
        with self._speaking(), self._advising():
            return self._vectors.vectors_of([int(number) for number in ids])

    def every_cosine(self, vector: Vectors) -> Vectors:
        return self.cosines(vector, self.ids)

    def cosines(self, vector: Vectors, ids: Ids) -> Vectors:
        with self._speaking():
            return self._vectors.cosines(vector, ids)

    def passage_cosines(self, vector: Vectors, ids: Ids) -> dict[int, Vectors]:
        with self._speaking():
            return self._vectors.passage_cosines(vector, ids)

    def nearest(self, vector: Vectors, count: int, among: Ids | None = None) -> tuple[Ids, Vectors]:
        with self._speaking():
            return self._vectors.nearest(vector, count, among)

    def close(self) -> None:
        self._connection.close()

    @contextmanager
    def _speaking(self) -> Iterator[None]:
        with translated(self._place):
            yield

    @contextmanager
    def _advising(self) -> Iterator[None]:
        try:
            yield
        except (StoreOutdated, StoreTorn) as error:
            advice = "run `fightnotes build --store` where the library's files are"
            raise type(error)(f"{error}: {advice}") from error


def _read_meta(connection: Connection, place: str) -> dict[str, str]:
    try:
        with translated(place):
            meta: dict[str, str] = dict(connection.execute(f"SELECT key, value FROM {SCHEMA_NAME}.meta").fetchall())
    except StoreTorn:  # there is no such table
        raise StoreMissing(
            f"the shared store {place} holds no library yet: run `fightnotes build --store` where its files are"
        ) from None
    if meta["version"] != SHARED_VERSION:
        raise StoreOutdated(
            f"the shared store {place} has version {meta['version']}, this program's is {SHARED_VERSION}: "
            "use one version of fightnotes in the team, and run `fightnotes build --store` with it"
        )
    return meta


def _text_in(record: str) -> str:
    """Of a segment's record, which leaves out what is as usual."""
    text: str = json.loads(record).get("text", "")
    return text
