"""Tags suggested for segments, each with its probability and reasons, and fields beside them. Nothing is written."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any, Literal

import numpy as np

from fightnotes.editing.taking import written_tag
from fightnotes.index.encoder import Vectors
from fightnotes.index.store import Store
from fightnotes.language.labels import Mention
from fightnotes.language.note_reader import NoteReader
from fightnotes.model import Bout, Fields, Record, Segment, unknown_name
from fightnotes.suggesting.default_weights import default_weights, text_weights
from fightnotes.suggesting.evidence import KINDS, evidence_of
from fightnotes.suggesting.examples import Examples, Matrix, Neighbours
from fightnotes.suggesting.fields import FieldSuggestion, suggest_fields
from fightnotes.suggesting.habits import TagHabits, habits_of, still_true
from fightnotes.suggesting.kin import outdone
from fightnotes.suggesting.learn import learn_weights
from fightnotes.suggesting.material import Material, Numbers, material_of
from fightnotes.suggesting.model import THRESHOLD, Weights
from fightnotes.suggesting.outcome_evidence import note_vectors
from fightnotes.suggesting.outcome_model import shipped_weights
from fightnotes.suggesting.own_fields import own_fields
from fightnotes.suggesting.rejected import Rejection, is_rejected
from fightnotes.suggesting.suggestion import Reasons, Suggestion
from fightnotes.suggesting.taught import teacher
from fightnotes.suggesting.undone import only_undone

MarkKind = Literal["tags", "fields"]
MOST_SIMILAR = 3
_AT_ONCE = 4096
_DIGITS = 4
"""Of a probability, as it is told."""
_ROUNDED = 0.5 * 10**-_DIGITS


class SimilarMoment(Record):
    """A tagged segment that is near in meaning and has the tag."""

    segment: Segment
    cosine: float


class TagReasons(Reasons):
    labels: tuple[str, ...] = ()
    """Labels of the concept as they stand in the text."""
    misheard: tuple[str, ...] = ()
    """Mishearings of its labels as they stand in the text."""
    words: tuple[str, ...] = ()
    """Words of the text that its labels and definition have too."""
    definition: float = 0.0
    """Cosine of the text with label and definition."""
    similar: tuple[SimilarMoment, ...] = ()

    @property
    def places(self) -> tuple[str, ...]:
        return tuple(one.segment.place for one in self.similar)

    def __str__(self) -> str:
        parts = [f"says “{words}”" for words in self.labels]
        parts += [f"misheard “{words}”" for words in self.misheard]
        if self.words:
            parts.append(f"words {', '.join(self.words)}")
        parts.append(f"definition {self.definition:.2f}")
        parts += [f"like {one.segment.place} ({one.cosine:.2f})" for one in self.similar]
        return "; ".join(parts)

    def as_json(self) -> dict[str, Any]:
        similar = [{"file": o.segment.file, "line": o.segment.line, "cosine": o.cosine} for o in self.similar]
        return self.model_dump(mode="json", exclude={"similar"}) | {"similar": similar, "text": str(self)}


class TagSuggestion(Suggestion):
    concept: str
    label: str
    own: Fields = Fields()
    """Fields that it would bear in parentheses, as those of the note do not hold for it."""
    why: TagReasons

    @property
    def name(self) -> str:
        return self.concept

    @property
    def mark(self) -> str:
        return written_tag(self.concept, self.own)

    @property
    def title(self) -> str:
        return f"{self.mark} ({self.label})"

    def as_json(self) -> dict[str, Any]:
        return super().as_json() | {"concept": self.concept, "label": self.label}


def suggest_marks(
    store: Store,
    *,
    threshold: float = THRESHOLD,
    bouts: Sequence[str] = (),
    only: MarkKind | None = None,
    limit: int | None = None,
    rejected: Iterable[Rejection] = (),
) -> tuple[Suggestion, ...]:
    """Tags and fields that timed segments lack, the most probable first, as `suggest` and `suggest_fields` have them.

    Raises UnknownName for a bout.
    """
    _known_bouts(store, bouts)
    segments, refused = store.every_segment(), list(rejected)
    vectors = store.vectors_of(list(segments))
    reader = NoteReader(store.bouts, store.vocabulary)
    made: list[Suggestion] = []
    if only != "fields":
        made.extend(_with_own_fields(_tags(store, segments, vectors, threshold, bouts, refused), reader))
    if only != "tags":
        made.extend(_fields(store, list(segments.values()), vectors, threshold, bouts, refused, reader))
    return tuple(sorted(made, key=lambda each: -each.probability)[:limit])


def suggest(
    store: Store,
    *,
    threshold: float = THRESHOLD,
    bouts: Sequence[str] = (),
    limit: int | None = None,
    rejected: Iterable[Rejection] = (),
) -> tuple[TagSuggestion, ...]:
    """Tags that timed segments lack, the most probable first; only of `bouts` where some are named.

    Learns from the library's own tags. A concept that is tagged, or that a narrower tag or suggestion covers, is
    left out, as is one that was rejected or that the text says was not done. Raises UnknownName for a bout.
    """
    _known_bouts(store, bouts)
    segments = store.every_segment()
    found = _tags(store, segments, store.vectors_of(list(segments)), threshold, bouts, list(rejected))
    return tuple(_with_own_fields(found[:limit], NoteReader(store.bouts, store.vocabulary)))


def _known_bouts(store: Store, bouts: Iterable[str]) -> None:
    for bout in bouts:
        if bout not in store.bouts:
            raise unknown_name("bout", bout, list(store.bouts))


def _tags(
    store: Store,
    segments: Mapping[int, Segment],
    vectors: Vectors,
    threshold: float,
    bouts: Sequence[str],
    rejected: Sequence[Rejection],
) -> list[TagSuggestion]:
    material = material_of(list(segments.values()), vectors, store.vocabulary, *store.concept_vectors)
    wanted = [
        row for row, segment in enumerate(material.segments) if segment.timed and (not bouts or segment.bout in bouts)
    ]
    made = suggest_for(material, np.array(wanted, dtype=np.int64), store.bouts, threshold)
    return [each for each in made if not is_rejected(each.segment, each.concept, rejected, material.segments)]


def _with_own_fields(tags: Iterable[TagSuggestion], reader: NoteReader) -> Iterator[TagSuggestion]:
    for each in tags:
        yield each.model_copy(update={"own": own_fields(each.segment, each.concept, reader)})


def _fields(
    store: Store,
    segments: Sequence[Segment],
    vectors: Vectors,
    threshold: float,
    bouts: Sequence[str],
    rejected: Sequence[Rejection],
    reader: NoteReader,
) -> list[FieldSuggestion]:
    wanted = [segment for segment in segments if not bouts or segment.bout in bouts]
    shipped = shipped_weights()
    of_notes = note_vectors(segments, vectors, shipped.usual) if store.model == shipped.encoder else None
    made = suggest_fields(segments, wanted, store.bouts, reader, threshold, of_notes)
    return [each for each in made if not is_rejected(each.segment, each.name, rejected, segments)]


def suggest_for(
    material: Material,
    rows: Numbers,
    bouts: Mapping[str, Bout],
    threshold: float = THRESHOLD,
    *,
    unsaid: float | None = None,
) -> list[TagSuggestion]:
    """The suggestions for some rows of a material, learned from all its tags, the most probable first.

    `unsaid` is the threshold of what no label says, where that is another; moments like it are then looked for where
    no label says it alone, as each is held against all that are tagged.
    """
    if not material.concepts.ids:
        return []
    learned = learn_from(material, np.arange(len(material.segments)))
    made: list[TagSuggestion] = []
    for begin in range(0, len(rows), _AT_ONCE):
        made.extend(_block(material, rows[begin : begin + _AT_ONCE], bouts, *learned, threshold, unsaid))
    return sorted(made, key=lambda each: (-each.probability, each.segment.file, each.segment.line, each.concept))


def learn_from(material: Material, rows: Numbers) -> tuple[Examples, Weights, TagHabits]:
    """What the tags among `rows` teach."""
    examples = examples_of(material, rows, text_weights())
    weights = learn_weights(material, rows, examples, default_weights())
    return examples, weights, habits_of(material, rows, examples, weights)


def examples_of(material: Material, rows: Numbers, first: Weights) -> Examples:
    """The tagged and the timed segments among `rows`, to learn from; `first` weighs what a text alone says."""
    used = [row for row in rows if material.segments[row].timed or material.tagged[row]]
    return Examples(material, np.array(used, dtype=np.int64), teacher(material, first))


def probabilities(
    material: Material, rows: Numbers, examples: Examples, weights: Weights, habits: TagHabits
) -> tuple[Matrix, Matrix]:
    """Of each concept in each segment, with the evidence; 0 where the text says that it was not done."""
    evidence = evidence_of(material, rows, examples)
    found = weights.probabilities(evidence)
    found[only_undone(material, rows)] = 0.0
    return still_true(material, rows, found, habits), evidence


def _block(
    material: Material,
    rows: Numbers,
    bouts: Mapping[str, Bout],
    examples: Examples,
    weights: Weights,
    habits: TagHabits,
    threshold: float,
    unsaid: float | None,
) -> Iterator[TagSuggestion]:
    found, evidence = probabilities(material, rows, examples, weights, habits)
    least = np.full(found.shape, threshold, dtype=np.float32)
    if unsaid is not None:
        least[material.labels[rows].toarray() == 0] = unsaid - _ROUNDED
    chosen = (found >= least) & (material.covered[rows].toarray() == 0) & ~outdone(material, rows, found)
    pairs = [(int(place), int(column)) for place, column in np.argwhere(chosen)]
    said = {pair for pair in pairs if unsaid is not None and _typed_labels(material, int(rows[pair[0]]), pair[1])}
    likened = {place: number for number, place in enumerate(dict.fromkeys(p for p, c in pairs if (p, c) not in said))}
    near = examples.nearest(rows[list(likened)])
    for place, column in pairs:
        yield _suggestion(
            material,
            int(rows[place]),
            bouts,
            column,
            float(found[place, column]),
            evidence[:, place, column],
            () if (place, column) in said else _similar(material, near, likened[place], column),
        )


def _typed_labels(material: Material, row: int, column: int) -> list[Mention]:
    """Labels of the concept, mishearings aside, that the segment says."""
    concept = material.concepts.ids[column]
    said = material.said[row].labels
    return [one for one in said if one.concept == concept and not one.undone and one.label.role != "hidden"]


def _suggestion(
    material: Material,
    row: int,
    bouts: Mapping[str, Bout],
    column: int,
    probability: float,
    evidence: Matrix,
    similar: tuple[SimilarMoment, ...],
) -> TagSuggestion:
    concept = material.concepts.by_id[material.concepts.ids[column]]
    segment, said = material.segments[row], material.said[row]
    found = [one for one in said.labels if one.concept == concept.id and not one.undone]
    known = material.concepts.stems[column]
    words = [word.casefold() for stem, word in zip(said.done, said.done_words, strict=True) if word and stem in known]
    why = TagReasons(
        labels=tuple(dict.fromkeys(one.written for one in _typed_labels(material, row, column))),
        misheard=tuple(dict.fromkeys(one.written for one in found if one.label.role == "hidden")),
        words=tuple(dict.fromkeys(words)),
        definition=round(float(evidence[KINDS.index("meaning")]), 4),
        similar=similar,
    )
    return TagSuggestion(
        segment=segment,
        bout=bouts[segment.bout],
        concept=concept.id,
        label=concept.label,
        probability=round(probability, _DIGITS),
        why=why,
    )


def _similar(material: Material, near: Neighbours, number: int, column: int) -> tuple[SimilarMoment, ...]:
    """The nearest tagged segments that have the concept."""
    moments: list[SimilarMoment] = []
    for place, row in enumerate(near.rows[number].tolist()):
        if row >= 0 and column in material.tag_columns[row]:
            segment, cosine = material.segments[row], float(near.cosines[number, place])
            moments.append(SimilarMoment(segment=segment, cosine=round(cosine, 4)))
            if len(moments) == MOST_SIMILAR:
                break
    return tuple(moments)
