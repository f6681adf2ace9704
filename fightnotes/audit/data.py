"""What the rules look at: the library as read, its texts, and the meaning of its notes where an index is at hand."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from functools import cached_property

import numpy as np

from fightnotes.audit.finding import Location
from fightnotes.errors import StoreError
from fightnotes.index.encoder import Vectors
from fightnotes.index.records import concept_text, key_of, segment_text
from fightnotes.index.store import Store
from fightnotes.language.labels import Label, labels_of
from fightnotes.model import Bout, Concept, Segment, Tag, Vocabulary
from fightnotes.reading.file_names import VOCABULARY_FILE
from fightnotes.reading.library import LibraryReading
from fightnotes.reading.text_file import split_lines
from fightnotes.suggesting.rejected import Rejection

_FEWEST_FOR_MEAN = 3
_FEWEST_CONCEPTS = 3
MOST_NEW = 1000
"""Texts newer than the index that are embedded for an audit; of more, a build is the better place."""


class Meaning:
    """Vectors of length 1 of segments and concepts, found by their text, so that a note that moved keeps its own.

    Of texts that the index has not yet, up to `MOST_NEW` are embedded here.
    """

    def __init__(self, store: Store, segments: Iterable[Segment], concepts: Iterable[Concept]) -> None:
        keys, vectors = store.text_vectors
        stored = {key: row for row, key in enumerate(keys)}
        texts = [segment_text(one) for one in segments if one.text] + [concept_text(one) for one in concepts]
        rows = {text: stored.get(key_of(text)) for text in dict.fromkeys(texts)}
        self._rows = {text: row for text, row in rows.items() if row is not None}
        self._vectors = vectors
        self.advice = "run `fightnotes build`"
        """What to do about segments that it does not know."""
        new = [text for text, row in rows.items() if row is None]
        if 0 < len(new) <= MOST_NEW:
            try:
                made = store.encoder.encode(new)
            except StoreError as error:
                self.advice = str(error)
                return
            self._rows |= {text: row for row, text in enumerate(new, len(vectors))}
            self._vectors = np.concatenate([vectors, made])

    def knows(self, segment: Segment) -> bool:
        return segment_text(segment) in self._rows

    def of(self, segments: Iterable[Segment]) -> Vectors:
        """One row a segment; each must be known."""
        return self._vectors[[self._rows[segment_text(segment)] for segment in segments]]

    def of_concepts(self, concepts: Iterable[Concept]) -> dict[str, Vectors]:
        """By id, of those that are known."""
        texts = {concept.id: concept_text(concept) for concept in concepts}
        return {name: self._vectors[self._rows[text]] for name, text in texts.items() if text in self._rows}


@dataclass(frozen=True)
class AuditData:
    reading: LibraryReading
    texts: Mapping[str, str]
    """By file: every note file, the vocabulary and the settings, as they stand on disk."""
    meaning: Meaning | None = None
    lengths: Mapping[tuple[str, str], Fraction] = field(default_factory=dict)
    """Seconds of each recording that could be measured, by bout id and name of the recording."""
    rejected: Sequence[Rejection] = ()
    """Suggested tags that somebody refused."""

    @property
    def vocabulary(self) -> Vocabulary:
        return self.reading.vocabulary

    @cached_property
    def bouts(self) -> dict[str, Bout]:
        return {bout.id: bout for bout in self.reading.bouts}

    @cached_property
    def notes(self) -> tuple[Segment, ...]:
        """The notes in the order of the files; transcripts carry no tags of the analyst's."""
        return tuple(segment for segment in self.reading.segments if segment.kind == "note")

    @cached_property
    def note_at(self) -> dict[tuple[str, int], Segment]:
        """By file and line, the innermost note that the line belongs to; they come in the order of their files."""
        return {(note.file, line): note for note in self.notes for line in range(note.line, note.last_line + 1)}

    @cached_property
    def understood_segments(self) -> tuple[Segment, ...]:
        """The notes and transcripts that have words whose meaning is known."""
        meaning = self.meaning
        return tuple(one for one in self.reading.segments if one.text and meaning and meaning.knows(one))

    @cached_property
    def understood(self) -> tuple[Segment, ...]:
        """The notes among them."""
        return tuple(one for one in self.understood_segments if one.kind == "note")

    @cached_property
    def newer_than_index(self) -> int:
        """How many notes have words whose meaning is not known."""
        return sum(bool(note.text) for note in self.notes) - len(self.understood)

    @cached_property
    def centred(self) -> dict[tuple[str, int], Vectors]:
        """Vectors by place of the note, of length 1, each analyst's way of writing taken out.

        That way is the median over concepts that all analysts use of the means of their notes: what an analyst
        notes more of, or means otherwise by one concept, does not move it. With too few such concepts it is the
        mean of the analyst's notes.
        """
        assert self.meaning is not None
        groups: dict[str | None, list[Segment]] = defaultdict(list)
        for note in self.understood:
            groups[note.analyst].append(note)
        rows = {analyst: self.meaning.of(notes) for analyst, notes in groups.items()}
        means = {analyst: _concept_means(notes, rows[analyst]) for analyst, notes in groups.items()}
        shared = set.intersection(*(set(found) for found in means.values())) if means else set()
        found: dict[tuple[str, int], Vectors] = {}
        for analyst, notes in groups.items():
            if len(shared) >= _FEWEST_CONCEPTS:
                centre = np.median([means[analyst][name] for name in sorted(shared)], axis=0)
            else:
                centre = rows[analyst].mean(axis=0)
            off = rows[analyst] - centre
            lengths = np.linalg.norm(off, axis=1, keepdims=True)
            off = off / np.where(lengths > 0, lengths, 1)
            found.update({(note.file, note.line): row for note, row in zip(notes, off, strict=True)})
        return found

    @cached_property
    def tagged_with(self) -> dict[str, tuple[Segment, ...]]:
        """By concept id, the notes that carry it."""
        found: dict[str, list[Segment]] = defaultdict(list)
        for note in self.notes:
            for name in concepts_of(note):
                found[name].append(note)
        return {name: tuple(notes) for name, notes in found.items()}

    @cached_property
    def without_stances(self) -> tuple[int, int]:
        """How many of how many timed notes are in a pairing of stances that nobody can tell."""
        timed = [note for note in self.notes if note.timed]
        return sum(note.pairing == "unknown" for note in timed), len(timed)

    @cached_property
    def lines(self) -> dict[str, list[str]]:
        return {file: split_lines(text.removeprefix("\ufeff")) for file, text in self.texts.items()}

    @cached_property
    def _by_file(self) -> dict[str, list[Segment]]:
        found: dict[str, list[Segment]] = defaultdict(list)
        for note in self.notes:
            found[note.file].append(note)
        return found

    def notes_of(self, files: Iterable[str]) -> list[Segment]:
        return [note for file in dict.fromkeys(files) for note in self._by_file.get(file, ())]

    def family(self, concept_id: str) -> frozenset[str]:
        """The concept with all above and all below it."""
        return frozenset((*self.vocabulary.with_broader(concept_id), *self.vocabulary.with_narrower(concept_id)))

    def line_at(self, file: str, line: int) -> str:
        lines = self.lines.get(file, [])
        return lines[line - 1].strip() if 0 < line <= len(lines) else ""

    def place(self, note: Segment, tag: Tag | None = None) -> Location:
        """The note, pointed at where it begins or at one of its tags."""
        said = " ".join((note.written_time or "", *note.text.split())).strip()
        line, column = (tag.line, tag.column) if tag else (note.line, 1)
        last, heading = note.last_line, _headings(note)
        return Location(file=note.file, line=line, column=column, last_line=last, text=said, heading=heading)

    def place_of_line(self, file: str, line: int, column: int) -> Location:
        """A place with the line that stands there, under the headings of the note that it belongs to."""
        note = self.note_at.get((file, line))
        text, heading = self.line_at(file, line), _headings(note) if note else ""
        return Location(file=file, line=line, column=max(column, 1), text=text, heading=heading)

    def place_of_concept(self, concept: Concept) -> Location:
        text = f"{concept.label}: {concept.definition}".rstrip(": ")
        return Location(file=VOCABULARY_FILE, line=concept.line, text=text)


def _headings(note: Segment) -> str:
    return " / ".join(note.heading)


def typed_labels(vocabulary: Vocabulary) -> list[Label]:
    """Those that a note may say: it is typed, so that mishearings are none."""
    return [label for label in labels_of(vocabulary) if label.role != "hidden"]


def concepts_of(note: Segment) -> tuple[str, ...]:
    """Ids of the concepts that a note is tagged with, each once."""
    return tuple(dict.fromkeys(tag.concept for tag in note.tags if tag.concept))


def _concept_means(notes: Sequence[Segment], rows: Vectors) -> dict[str, Vectors]:
    indices: dict[str, list[int]] = defaultdict(list)
    for index, note in enumerate(notes):
        for name in concepts_of(note):
            indices[name].append(index)
    return {name: rows[where].mean(axis=0) for name, where in indices.items() if len(where) >= _FEWEST_FOR_MEAN}


def show_tags(note: Segment) -> str:
    return " ".join(f"#{name}" for name in concepts_of(note)) or "no tag"
