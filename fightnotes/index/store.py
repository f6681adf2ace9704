"""The store: what search and the features ask of a library's index, wherever it is kept.

`index/local_store` keeps it in files beside the notes, `index/shared` in PostgreSQL for a team. No SQL is spoken
outside this folder; what both engines understand is asked here, and what each does in its own way there.
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import AbstractContextManager
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import numpy as np
from pydantic import ValidationError

from fightnotes.errors import Problem, StoreTorn
from fightnotes.index.criteria import Criteria, condition_of
from fightnotes.index.encoder import Encoder, Vectors
from fightnotes.index.records import PROBLEM_COLUMNS, Wording
from fightnotes.index.tag_table import TagTable, tag_table
from fightnotes.index.vector_file import Ids
from fightnotes.model import Bout, Moment, Record, Segment, Settings, Vocabulary

if TYPE_CHECKING:  # a query needs the store, and not what reads files
    from fightnotes.reading.library import BoutReading, Configuration

_R = TypeVar("_R", bound=Record)


class Store(ABC):
    """One snapshot of a library's index. Reads stay on it even when a build puts another in its place."""

    root: Path
    """The library's folder; whoever only reads a shared store may have none of its text files there."""
    model: str
    """Identity of the model that made the vectors."""
    meta: Mapping[str, str]
    """What the build wrote of it beside the rows."""

    @abstractmethod
    def _rows(self, query: str, *values: object) -> Iterator[tuple[Any, ...]]:
        """The rows of a query, with a question mark for each value, and `IN ?` for a list of ids."""

    @abstractmethod
    def _advising(self) -> AbstractContextManager[None]:
        """Adds to StoreOutdated and StoreTorn what a person can do."""

    @property
    @abstractmethod
    def is_latest(self) -> bool:
        """Whether no build has put another in its place since, and nobody has taken it away."""

    @abstractmethod
    def changed_files(self) -> list[str]:
        """Files that differ from what was indexed, as far as it can be told without reading all of them."""

    @abstractmethod
    def unchanged_bouts(self, root: Path, files: Sequence[str], configuration: Configuration) -> frozenset[str]:
        """Those of the bouts' files in `root`, the library or a copy of it, of which a build would keep all that it
        has."""

    @abstractmethod
    def close(self) -> None: ...

    @cached_property
    @abstractmethod
    def encoder(self) -> Encoder:
        """Raises StoreTorn or StoreOutdated where it is not the one that made the vectors."""

    # What was noted

    @property
    def problems(self) -> tuple[Problem, ...]:
        """What the build that made it found wrong in the files."""
        return tuple(sorted(Problem(*row) for row in self._rows(f"SELECT DISTINCT {PROBLEM_COLUMNS} FROM problems")))

    def problems_of(self, bout: Bout) -> tuple[Problem, ...]:
        """What could not be read in a bout's files, in their order."""
        rows = self._rows(f"SELECT {PROBLEM_COLUMNS} FROM problems WHERE bout_file = ?", bout.file)
        return tuple(sorted(Problem(*row) for row in rows))

    def reading_of(self, bout_file: str) -> BoutReading:
        """What a bout's files said when they were read, without what was inferred of it."""
        from fightnotes.reading.library import BoutReading

        bout = self._rows("SELECT record FROM bouts WHERE file = ? AND NOT duplicate", bout_file)
        rows = self._rows("SELECT record FROM segments WHERE bout_file = ? ORDER BY id", bout_file)
        segments = (self._parsed(Segment, record) for (record,) in rows)
        problems = self._rows(f"SELECT {PROBLEM_COLUMNS} FROM problems WHERE bout_file = ?", bout_file)
        return BoutReading(
            bout=next((self._parsed(Bout, record) for (record,) in bout), None),
            segments=tuple(one.model_copy(update={"inferred": ()}) if one.inferred else one for one in segments),
            problems=tuple(sorted(Problem(*row) for row in problems)),
        )

    @cached_property
    def size(self) -> int:
        """How many segments there are."""
        return int(next(self._rows("SELECT count(*) FROM segments"))[0])

    @cached_property
    def vocabulary(self) -> Vocabulary:
        return self._parsed(Vocabulary, self.meta["vocabulary"])

    @cached_property
    def settings(self) -> Settings:
        return self._parsed(Settings, self.meta["settings"])

    @cached_property
    def bouts(self) -> dict[str, Bout]:
        """By id, the oldest first."""
        rows = self._rows("SELECT record FROM bouts WHERE NOT duplicate ORDER BY date NULLS FIRST, id")
        bouts = (self._parsed(Bout, row[0]) for row in rows)
        return {bout.id: bout for bout in bouts}

    @cached_property
    def analysts(self) -> tuple[str, ...]:
        """Everyone who is said to have noted something."""
        rows = self._rows("SELECT DISTINCT analyst FROM segments WHERE analyst IS NOT NULL ORDER BY 1")
        return tuple(row[0] for row in rows)

    @cached_property
    def tagged(self) -> dict[str, Ids]:
        """Ids of the segments that have a tag, ascending, by the tag's name."""
        rows = self._rows("SELECT DISTINCT concept, segment FROM acts WHERE concept IS NOT NULL ORDER BY 2")
        ids: dict[str, list[int]] = {}
        for concept, segment in rows:
            ids.setdefault(concept, []).append(segment)
        return {concept: np.array(found, dtype=np.int64) for concept, found in ids.items()}

    def segments(self, ids: Iterable[int]) -> dict[int, Segment]:
        """The segments by id, in the order asked for. Raises StoreTorn for one that only another part of it has."""
        wanted = [int(number) for number in ids]
        records = dict(self._rows("SELECT id, record FROM segments WHERE id IN ?", wanted))
        if not records.keys() >= set(wanted):
            with self._advising():
                raise StoreTorn(f"{self} lacks segments that it speaks of")
        return {number: self._parsed(Segment, records[number]) for number in wanted}

    def every_segment(self) -> dict[int, Segment]:
        """All segments by id, in the order of the library's files."""
        rows = self._rows("SELECT id, record FROM segments ORDER BY bout_file, id")
        return {number: self._parsed(Segment, record) for number, record in rows}

    def moment(self, segment: Segment) -> Moment:
        """A segment of the store in its bout."""
        return Moment(segment=segment, bout=self.bouts[segment.bout])

    # Filters

    def matching(self, criteria: Criteria) -> list[int]:
        """Ids of the segments that pass, ascending."""
        where = condition_of(criteria)
        rows = self._rows(f"SELECT s.id FROM segments s WHERE {where} ORDER BY s.id", *where.values)
        return [row[0] for row in rows]

    def ids_of(self, bouts: Iterable[Bout]) -> Ids:
        """Ids of all segments of some bouts, ascending."""
        files = tuple(bout.file for bout in bouts)
        return np.array(self.matching(Criteria(bout_files=files)) if files else (), dtype=np.int64)

    def says(self, field: str, ids: list[int] | None) -> bool:
        """Whether any of some segments has a field of an act at all; of all, where none are given."""
        query = f'SELECT 1 FROM acts WHERE "{field}" IS NOT NULL'
        rows = self._rows(query + " LIMIT 1") if ids is None else self._rows(query + " AND segment IN ? LIMIT 1", ids)
        return next(rows, None) is not None

    # Words

    @abstractmethod
    def best_by_words(
        self, phrases: Sequence[str], words: Sequence[str], count: int, among: Ids | None
    ) -> dict[int, float]:
        """BM25 of the best `count` segments by id, best first, ids breaking ties; only of `among` where that is given.

        Phrases must be held, by stems one behind the other; words may. What stands in a tag's labels counts
        `LABEL_WEIGHT` of `index/bm25`, against 1 in the prose.
        """

    @abstractmethod
    def near_each_other(
        self, phrases: Sequence[str], groups: Sequence[Sequence[str]], count: int, among: Ids | None
    ) -> list[int]:
        """Ids of the first `count` segments, ascending, that hold all phrases, and the words of one of the groups in
        any order with no more than a word in each gap."""

    @abstractmethod
    def phrase_holders(self, phrases: Sequence[str]) -> Ids:
        """Ids of all segments that hold every phrase, ascending."""

    def holders(self, stem: str) -> int:
        """How many segments hold a word with this stem, in prose or labels."""
        if stem not in self._counted:
            self._counted[stem] = self._count_holders(stem)
        return self._counted[stem]

    @abstractmethod
    def _count_holders(self, stem: str) -> int: ...

    @cached_property
    def _counted(self) -> dict[str, int]:
        """Stems that were asked for, and how many segments hold each."""
        return {}

    @abstractmethod
    def texts(self, ids: Iterable[int]) -> dict[int, tuple[str, str]]:
        """The prose of each segment, and the labels of its tags."""

    @abstractmethod
    def every_text(self) -> Iterator[tuple[str, str]]:
        """The same of all segments."""

    # Vectors

    @property
    @abstractmethod
    def dimension(self) -> int:
        """Of the vectors."""

    @abstractmethod
    def vectors_of(self, ids: Ids | Sequence[int]) -> Vectors:
        """The vectors of segments as a whole, shape (len(ids), dimension). Raises StoreTorn for one that has none."""

    @property
    @abstractmethod
    def ids(self) -> Ids:
        """Of all segments, ascending."""

    @property
    @abstractmethod
    def is_searched_whole(self) -> bool:
        """Whether a query is held against every segment, and not against the nearest alone."""

    @abstractmethod
    def every_cosine(self, vector: Vectors) -> Vectors:
        """The cosine of a vector of length 1 with every segment, in the order of `ids`: of a long segment with the
        passage of it that comes nearest, of one without text 0."""

    @abstractmethod
    def cosines(self, vector: Vectors, ids: Ids) -> Vectors:
        """The same of some segments, in the order asked for."""

    @abstractmethod
    def passage_cosines(self, vector: Vectors, ids: Ids) -> dict[int, Vectors]:
        """For those of some segments that are long, the cosine of a vector with each of their passages, in order."""

    @abstractmethod
    def nearest(self, vector: Vectors, count: int, among: Ids | None = None) -> tuple[Ids, Vectors]:
        """Ids of the segments with text that come nearest to a vector of length 1, with their cosines; nearest first,
        ids breaking ties. `among` limits them to some ids, ascending. Of very many, one may be missed."""

    @cached_property
    def tag_table(self) -> TagTable:
        return tag_table(self.tagged)

    @cached_property
    def concept_vectors(self) -> tuple[tuple[str, ...], Vectors]:
        """Ids of the concepts and the vectors of their labels and definitions, row by row."""
        return self._wordings("whole")

    @cached_property
    def wording_vectors(self) -> tuple[tuple[str, ...], Vectors]:
        """A row for each label and each definition: the concept's id, which comes several times, and the vector."""
        return self._wordings("part")

    def _wordings(self, kind: Wording) -> tuple[tuple[str, ...], Vectors]:
        rows = list(self._rows("SELECT concept, vector FROM wordings WHERE kind = ? ORDER BY concept, rowid", kind))
        return tuple(row[0] for row in rows), self._as_vectors(row[1] for row in rows)

    @cached_property
    def text_vectors(self) -> tuple[list[bytes], Vectors]:
        """The key of every text of segments and concepts, each once, and its vector, row by row."""
        segments = dict(self._rows("SELECT key, id FROM segments ORDER BY id"))
        wordings = dict(self._rows("SELECT key, vector FROM wordings ORDER BY rowid"))
        vectors = self.vectors_of(list(segments.values())), self._as_vectors(wordings.values())
        return [*segments, *wordings], np.concatenate(vectors)

    def _as_vectors(self, kept: Iterable[bytes]) -> Vectors:
        return np.frombuffer(b"".join(kept), dtype=np.float32).reshape(-1, self.dimension)

    def _parsed(self, model: type[_R], record: str) -> _R:
        try:
            return model.model_validate_json(record)
        except ValidationError as error:
            with self._advising():
                raise StoreTorn(f"{self} holds a damaged {model.__name__.lower()}") from error
