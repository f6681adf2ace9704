"""What the rules look at: the library as read, its texts, and the meaning of its notes where an index is at hand."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from functools import cached_property

import numpy as np

from fightnotes.audit.finding import Location
from fightnotes.index.encoder import Vectors
from fightnotes.index.records import concept_text, segment_text
from fightnotes.index.store import Store
from fightnotes.language.labels import Label, Mention, find_labels, label_finder, labels_of
from fightnotes.model import Bout, Concept, Segment, Tag, Vocabulary
from fightnotes.reading.file_names import VOCABULARY_FILE
from fightnotes.reading.library import LibraryReading
from fightnotes.reading.text_file import split_lines


class Meaning:
    """Vectors of length 1 of notes and concepts, found by their text, so that a note that moved keeps its own."""

    def __init__(self, store: Store) -> None:
        segments = store.every_segment()
        vectors = store.vectors_of(list(segments))
        self._notes = {segment_text(one): vector for one, vector in zip(segments.values(), vectors, strict=True)}
        ids, concepts = store.concept_vectors
        known = store.vocabulary.by_id
        self._concepts = {concept_text(known[name]): row for name, row in zip(ids, concepts, strict=True)}
        self._width = store.vectors.d

    def knows(self, segment: Segment) -> bool:
        return segment_text(segment) in self._notes

    def of(self, segments: Iterable[Segment]) -> Vectors:
        """One row a segment; each must be known."""
        rows = [self._notes[segment_text(segment)] for segment in segments]
        return np.stack(rows) if rows else np.empty((0, self._width), dtype=np.float32)

    def of_concept(self, concept: Concept) -> Vectors | None:
        return self._concepts.get(concept_text(concept))


@dataclass(frozen=True)
class AuditData:
    reading: LibraryReading
    texts: Mapping[str, str]
    """By file: every note file, the vocabulary and the settings, as they stand on disk."""
    meaning: Meaning | None = None
    lengths: Mapping[tuple[str, str], Fraction] = field(default_factory=dict)
    """Seconds of each recording that could be measured, by bout id and name of the recording."""

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
    def understood(self) -> tuple[Segment, ...]:
        """The notes whose meaning the index holds."""
        return tuple(note for note in self.notes if note.text and self.meaning and self.meaning.knows(note))

    @cached_property
    def tagged_with(self) -> dict[str, tuple[Segment, ...]]:
        """By concept id, the notes that carry it."""
        found: dict[str, list[Segment]] = defaultdict(list)
        for note in self.notes:
            for name in concepts_of(note):
                found[name].append(note)
        return {name: tuple(notes) for name, notes in found.items()}

    @cached_property
    def named(self) -> dict[tuple[str, int], list[Mention]]:
        """By file and line of each note, the labels that it says."""
        finder = label_finder(typed_labels(self.vocabulary))
        return {(note.file, note.line): find_labels(note.text, finder) for note in self.notes}

    @cached_property
    def lines(self) -> dict[str, list[str]]:
        return {file: split_lines(text.removeprefix("\ufeff")) for file, text in self.texts.items()}

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
        return Location(file=note.file, line=line, column=column, last_line=note.last_line, text=said)

    def place_of_concept(self, concept: Concept) -> Location:
        text = f"{concept.label}: {concept.definition}".rstrip(": ")
        return Location(file=VOCABULARY_FILE, line=concept.line, text=text)


def typed_labels(vocabulary: Vocabulary) -> list[Label]:
    """Those that a note may say: it is typed, so that mishearings are none."""
    return [label for label in labels_of(vocabulary) if label.role != "hidden"]


def concepts_of(note: Segment) -> tuple[str, ...]:
    """Ids of the concepts that a note is tagged with, each once."""
    return tuple(dict.fromkeys(tag.concept for tag in note.tags if tag.concept))


def show_tags(note: Segment) -> str:
    return " ".join(f"#{name}" for name in concepts_of(note)) or "no tag"
