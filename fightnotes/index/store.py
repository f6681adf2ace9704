"""The derived store, open for reading: what search and the features ask."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from functools import cached_property
from pathlib import Path
from typing import TypeVar

import faiss
import numpy as np
from pydantic import ValidationError

from fightnotes.errors import Problem, StoreError, StoreOutdated, StoreTorn
from fightnotes.index.changes import changed_files, digest_of
from fightnotes.index.database import Connection, count_rows, open_finished, read_meta
from fightnotes.index.encoder import Encoder, Vectors
from fightnotes.index.encoder_cache import encoder_folder
from fightnotes.index.layout import Layout
from fightnotes.index.manifest import Manifest, check_size, read_manifest
from fightnotes.index.occurrences import Occurrences
from fightnotes.index.placed_vectors import (
    PlacedVectors,
    best_rows,
    every_cosine,
    passage_cosines,
    place_vectors,
    some_cosines,
)
from fightnotes.index.records import Wording, all_problems, key_of, problems_of
from fightnotes.index.tag_table import TagTable, tag_table
from fightnotes.index.vector_file import Ids, read_vectors, vectors_of
from fightnotes.model import Bout, Moment, Record, Segment, Settings, Vocabulary

_R = TypeVar("_R", bound=Record)

EXACT_UP_TO = 100_000
"""Segments up to which a query is held against every one of them."""


class Store:
    """One snapshot of a library's index. Reads stay on it even when a build puts another in its place."""

    def __init__(self, root: Path) -> None:
        """Raises StoreMissing, StoreOutdated or StoreTorn; a build mends all three."""
        self.layout = Layout(root)
        with self._advising():
            self._manifest, self.connection, self._vectors = _open(self.layout)
            self._meta = read_meta(self.connection)

    @property
    def is_latest(self) -> bool:
        """Whether no build has put another in its place since, and nobody has taken it away."""
        try:
            return read_manifest(self.layout) == self._manifest
        except StoreError:
            return False

    @property
    def problems(self) -> tuple[Problem, ...]:
        """What the build that made it found wrong in the files."""
        return tuple(all_problems(self.connection))

    @cached_property
    def size(self) -> int:
        """How many segments there are."""
        return count_rows(self.connection, "segments")

    @property
    def dimension(self) -> int:
        """Of the vectors."""
        return int(self._vectors.d)

    @property
    def ids(self) -> Ids:
        """Of all segments, ascending."""
        return self._placed.ids

    @property
    def is_searched_whole(self) -> bool:
        """Whether a query is held against every segment, and not against the nearest alone."""
        return self.size <= EXACT_UP_TO

    @cached_property
    def occurrences(self) -> Occurrences:
        """Where words stand in the texts."""
        return Occurrences(self.connection)

    @cached_property
    def _placed(self) -> PlacedVectors:
        return place_vectors(self._vectors, self.passages, self.wordless)

    @cached_property
    def vocabulary(self) -> Vocabulary:
        return self._parsed(Vocabulary, self._meta["vocabulary"])

    @cached_property
    def settings(self) -> Settings:
        return self._parsed(Settings, self._meta["settings"])

    @cached_property
    def bouts(self) -> dict[str, Bout]:
        rows = self.connection.execute("SELECT record FROM bouts WHERE NOT duplicate ORDER BY date, id")
        bouts = (self._parsed(Bout, row[0]) for row in rows)
        return {bout.id: bout for bout in bouts}

    @cached_property
    def encoder(self) -> Encoder:
        """Raises StoreTorn or StoreOutdated where it is not the one that made the vectors."""
        with self._advising():
            return Encoder(encoder_folder(self._manifest.model), self._manifest.model)

    @cached_property
    def concept_vectors(self) -> tuple[tuple[str, ...], Vectors]:
        """Ids of the concepts and the vectors of their labels and definitions, row by row."""
        return self._wordings("whole")

    @cached_property
    def wording_vectors(self) -> tuple[tuple[str, ...], Vectors]:
        """A row for each label and each definition: the concept's id, which comes several times, and the vector."""
        return self._wordings("part")

    def _wordings(self, kind: Wording) -> tuple[tuple[str, ...], Vectors]:
        rows = self.connection.execute(
            "SELECT concept, vector FROM wordings WHERE kind = ? ORDER BY concept, rowid", (kind,)
        ).fetchall()
        if not rows:
            return (), np.empty((0, self.dimension), dtype=np.float32)
        return tuple(row[0] for row in rows), np.stack([np.frombuffer(row[1], dtype=np.float32) for row in rows])

    @cached_property
    def text_vectors(self) -> tuple[list[bytes], Vectors]:
        """The key of every text of segments and concepts, each once, and its vector, row by row."""
        segments = dict(self.connection.execute("SELECT key, id FROM segments"))
        wordings = dict(self.connection.execute("SELECT key, vector FROM wordings"))
        found = self.vectors_of(list(segments.values()))
        made = np.frombuffer(b"".join(wordings.values()), dtype=np.float32).reshape(-1, self.dimension)
        return [*segments, *wordings], np.concatenate([found, made])

    @cached_property
    def tagged(self) -> dict[str, Ids]:
        """Ids of the segments that have a tag, ascending, by the tag's name."""
        rows = self.connection.execute("SELECT DISTINCT concept, segment FROM acts WHERE concept NOTNULL ORDER BY 2")
        ids: dict[str, list[int]] = {}
        for concept, segment in rows:
            ids.setdefault(concept, []).append(segment)
        return {concept: np.array(found, dtype=np.int64) for concept, found in ids.items()}

    @cached_property
    def tag_table(self) -> TagTable:
        return tag_table(self.tagged)

    @cached_property
    def passages(self) -> tuple[Ids, Ids]:
        """Ids of the passages of long segments, ascending, and the segment of each."""
        rows = self.connection.execute("SELECT id, segment FROM passages ORDER BY id").fetchall()
        ids, segments = np.array(rows, dtype=np.int64).reshape(-1, 2).T
        return ids, segments

    @cached_property
    def wordless(self) -> Ids:
        """Ids of the segments that have no text, such as notes of tags alone."""
        rows = self.connection.execute("SELECT id FROM segments WHERE key = ?", (key_of(""),)).fetchall()
        return np.array(rows, dtype=np.int64).reshape(-1)

    def changed_files(self) -> list[str]:
        """Files that differ from what was indexed: the bouts' told by size and time alone, settings and vocabulary by
        their content."""
        root, digests = self.layout.root, json.loads(self._meta["digests"])
        changed = [name for name, digest in digests.items() if digest_of(root / name) != digest]
        return sorted([*changed, *changed_files(root, self.connection)])

    def vectors_of(self, ids: Ids | Sequence[int]) -> Vectors:
        with self._advising():
            return vectors_of(self._vectors, ids)

    def every_cosine(self, vector: Vectors) -> Vectors:
        """The cosine of a vector of length 1 with every segment, in the order of `ids`: of a long segment with the
        passage of it that comes nearest, of one without text 0."""
        return every_cosine(self._placed, vector)

    def cosines(self, vector: Vectors, ids: Ids) -> Vectors:
        """The same of some segments, in the order asked for."""
        return some_cosines(self._placed, vector, ids)

    def passage_cosines(self, vector: Vectors, ids: Ids) -> dict[int, Vectors]:
        """For those of some segments that are long, the cosine of a vector with each of their passages, in order."""
        return passage_cosines(self._placed, vector, ids)

    def nearest(self, vector: Vectors, count: int, among: Ids | None = None) -> tuple[Ids, Vectors]:
        """Ids of the segments with text that come nearest to a vector of length 1, with their cosines; nearest first,
        ids breaking ties. `among` limits them to some ids, ascending."""
        with_text = np.setdiff1d(self.ids if among is None else among, self.wordless, assume_unique=True)
        cosines = self.cosines(vector, with_text)
        best = best_rows(cosines, np.arange(len(with_text)), count)
        return with_text[best], cosines[best]

    def segments(self, ids: Iterable[int]) -> dict[int, Segment]:
        """The segments by id, in the order asked for. Raises StoreTorn for one that only another part of it has."""
        wanted = [int(number) for number in ids]
        rows = self.connection.execute(
            "SELECT id, record FROM segments WHERE id IN (SELECT value FROM json_each(?))", (json.dumps(wanted),)
        )
        records = dict(rows)
        if not records.keys() >= set(wanted):
            with self._advising():
                raise StoreTorn(f"{self.connection.path} lacks segments that it speaks of")
        return {number: self._parsed(Segment, records[number]) for number in wanted}

    def every_segment(self) -> dict[int, Segment]:
        """All segments by id, in the order of the library's files."""
        rows = self.connection.execute("SELECT id, record FROM segments ORDER BY bout_file, id")
        return {number: self._parsed(Segment, record) for number, record in rows}

    def problems_of(self, bout: Bout) -> tuple[Problem, ...]:
        """What could not be read in a bout's files, in their order."""
        return tuple(problems_of(self.connection, bout.file))

    def moment(self, segment: Segment) -> Moment:
        """A segment of the store in its bout."""
        return Moment(segment=segment, bout=self.bouts[segment.bout])

    def close(self) -> None:
        self.connection.close()

    def _parsed(self, model: type[_R], record: str) -> _R:
        try:
            return model.model_validate_json(record)
        except ValidationError as error:
            with self._advising():
                raise StoreTorn(f"{self.connection.path} holds a damaged {model.__name__.lower()}") from error

    @contextmanager
    def _advising(self) -> Iterator[None]:
        try:
            yield
        except (StoreOutdated, StoreTorn) as error:
            advice = f"run `fightnotes build --library {self.layout.root}`"
            raise type(error)(f"{error}: {advice}") from error


def _open(layout: Layout) -> tuple[Manifest, Connection, faiss.IndexIDMap2]:
    """The parts that the manifest names; where a build replaces them meanwhile, those of the next manifest."""
    manifest = read_manifest(layout)
    while True:
        try:
            for part in (manifest.database, manifest.vectors):
                check_size(layout.folder, part)
            database, vectors = layout.file(manifest.database.name), layout.file(manifest.vectors.name)
            return manifest, open_finished(database), read_vectors(vectors)
        except StoreError:
            now = read_manifest(layout)
            if now == manifest:
                raise
            manifest = now
