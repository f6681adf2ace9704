"""Segments and concepts as matrices, ready to be compared: one row a segment, one column a concept."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

import numpy as np
import numpy.typing as npt
from scipy.sparse import csr_array

from fightnotes.index.encoder import Vectors
from fightnotes.language.words import content_stems
from fightnotes.model import Concept, Segment, Vocabulary, acts_of
from fightnotes.suggesting.said import Said, listening_for, said_in
from fightnotes.suggesting.word_space import WordSpace, learn_words, membership

Flags = npt.NDArray[np.bool_]
Numbers = npt.NDArray[np.int64]


@dataclass(frozen=True)
class Concepts:
    ids: tuple[str, ...]
    by_id: dict[str, Concept]
    vectors: Vectors
    """Of label and definition, shape (concepts, dimension), length 1."""
    labels: csr_array
    """Words of the labels, mishearings aside, shape (concepts, stems)."""
    definitions: csr_array
    """Words of labels and definition, shape (concepts, stems)."""
    stems: tuple[frozenset[str], ...]
    """Those of the words of labels and definition, by column."""
    above: csr_array
    """1 where the column's concept is above the row's, at any depth."""
    siblings: tuple[tuple[int, ...], ...]
    """By column, those of the other concepts right below the same one."""

    @property
    def column(self) -> dict[str, int]:
        return {identity: number for number, identity in enumerate(self.ids)}


@dataclass(frozen=True)
class Material:
    segments: tuple[Segment, ...]
    said: tuple[Said, ...]
    vectors: Vectors
    """Of the texts, shape (segments, dimension), length 1."""
    words: csr_array
    """Of what was done, shape (segments, stems), rows of length 1."""
    marks: csr_array
    """Targets, outcomes and pairing, shape (segments, marks), rows of length 1."""
    labels: csr_array
    """1 where a label of the concept is found among what was done, shape (segments, concepts)."""
    tags: csr_array
    """1 where the segment has the tag, shape (segments, concepts)."""
    bouts: Numbers
    """A number for each segment's bout."""
    concepts: Concepts
    space: WordSpace

    @cached_property
    def tagged(self) -> Flags:
        tagged: Flags = np.diff(self.tags.indptr) > 0
        return tagged

    @cached_property
    def passed_over(self) -> Flags:
        """Notes without tags in a file where their analyst tagged others."""
        who = [(segment.file, segment.analyst) for segment in self.segments]
        tagging = {who[row] for row in np.flatnonzero(self.tagged)}
        noted = [segment.kind == "note" and who[row] in tagging for row, segment in enumerate(self.segments)]
        return np.array(noted, dtype=np.bool_) & ~self.tagged

    @cached_property
    def covered(self) -> csr_array:
        """Above 0 where the segment has the tag or one below it, shape (segments, concepts)."""
        return csr_array(self.tags + self.tags @ self.concepts.above)

    @cached_property
    def tag_columns(self) -> list[list[int]]:
        """The columns of each segment's tags."""
        ends = self.tags.indptr.tolist()
        columns = self.tags.indices.tolist()
        return [columns[begin:stop] for begin, stop in pairwise(ends)]


def material_of(
    segments: Sequence[Segment],
    vectors: Vectors,
    vocabulary: Vocabulary,
    concept_ids: Sequence[str],
    concept_vectors: Vectors,
) -> Material:
    """`vectors` go with `segments` and `concept_vectors` with `concept_ids`, row by row."""
    listening = listening_for(vocabulary)
    said = tuple(said_in(segment.text, listening) for segment in segments)
    known = [vocabulary.by_id[identity] for identity in concept_ids]
    label_stems = [content_stems(" ".join((concept.label, *concept.also))) for concept in known]
    definition_stems = [
        stems + content_stems(concept.definition) for stems, concept in zip(label_stems, known, strict=True)
    ]
    texts = [one.done for one in said]
    space = learn_words([*texts, *definition_stems])
    column = {identity: number for number, identity in enumerate(concept_ids)}
    concepts = Concepts(
        ids=tuple(concept_ids),
        by_id={concept.id: concept for concept in known},
        vectors=concept_vectors,
        labels=space.rows(label_stems),
        definitions=space.rows(definition_stems),
        stems=tuple(map(frozenset, definition_stems)),
        above=membership([vocabulary.with_broader(identity)[1:] for identity in concept_ids], column),
        siblings=_siblings(known),
    )
    marks = [tuple(_marks(segment)) for segment in segments]
    names = {mark: number for number, mark in enumerate(sorted({mark for each in marks for mark in each}))}
    bout_numbers = {bout: number for number, bout in enumerate(dict.fromkeys(s.bout for s in segments))}
    return Material(
        segments=tuple(segments),
        said=said,
        vectors=vectors,
        words=space.rows(texts),
        marks=_unit_rows(membership(marks, names)),
        labels=membership([[f.concept for f in one.labels if not f.undone] for one in said], column),
        tags=membership([[tag.concept for tag in s.tags if tag.concept] for s in segments], column),
        bouts=np.array([bout_numbers[segment.bout] for segment in segments], dtype=np.int64),
        concepts=concepts,
        space=space,
    )


def _siblings(concepts: Sequence[Concept]) -> tuple[tuple[int, ...], ...]:
    below: dict[str, list[int]] = {}
    for column, concept in enumerate(concepts):
        for broader in concept.broader:
            below.setdefault(broader, []).append(column)
    return tuple(
        tuple(sorted({other for broader in concept.broader for other in below[broader]} - {column}))
        for column, concept in enumerate(concepts)
    )


def _marks(segment: Segment) -> Iterator[str]:
    """What the fields say of the action, whoever acts."""
    yield f"pairing {segment.pairing}"
    for act in acts_of(segment):
        if act.fields.on:
            yield "on"
        yield from (f"target {target}" for target in act.fields.target or ("none",))
        yield from (f"outcome {outcome}" for outcome in act.fields.outcome)


def _unit_rows(matrix: csr_array) -> csr_array:
    unit = matrix.copy()
    sizes = np.diff(matrix.indptr)
    unit.data = np.repeat(1 / np.sqrt(np.maximum(sizes, 1)), sizes).astype(np.float32)
    return unit
