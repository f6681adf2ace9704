"""Tags by their form: unknown words, labels in place of ids, a concept beside one above it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import replace

from rapidfuzz.distance import DamerauLevenshtein

from fightnotes.audit.data import AuditData
from fightnotes.audit.finding import Retag
from fightnotes.audit.rules.rule import Remark
from fightnotes.model import Segment, Tag, Vocabulary, fold

_SHORTEST = 5
"""Letters below which one slip makes another word, as of slip and clip."""


def unknown_tag(data: AuditData) -> Iterator[Remark]:
    for note in data.notes:
        for tag in note.tags:
            if tag.concept is not None:
                continue
            meant = _one_slip_away(tag, data.vocabulary)
            said = f"#{tag.written} names no concept of the vocabulary"
            if meant is None:
                yield Remark((data.place(note, tag),), said, f"#{tag.written}")
            else:
                yield _mendable(data, note, tag, f"{said}; one letter makes it #{meant}", meant)


def _one_slip_away(tag: Tag, vocabulary: Vocabulary) -> str | None:
    """The one concept that a missing, doubled, wrong or swapped letter tells the tag from."""
    written = fold(tag.written)
    if len(written) < _SHORTEST:
        return None
    near: set[str] = set()
    for concept in vocabulary.concepts:
        labels = (label for label, role in concept.labels() if role != "hidden")
        if any(DamerauLevenshtein.distance(written, fold(label), score_cutoff=1) <= 1 for label in labels):
            near.add(concept.id)
    return near.pop() if len(near) == 1 else None


def tag_form(data: AuditData) -> Iterator[Remark]:
    for note in data.notes:
        for tag in note.tags:
            if tag.concept is None or tag.written in data.vocabulary.by_id:
                continue  # where an id is another concept's label too, the vocabulary is at fault
            label = fold(tag.written)
            concept = data.vocabulary.by_id[tag.concept]
            alternative = label not in (fold(concept.id), fold(concept.label))
            kind = "another label" if alternative else "another spelling"
            yield _mendable(data, note, tag, f"#{tag.written} is {kind} of #{tag.concept}", tag.concept)


def _mendable(data: AuditData, note: Segment, tag: Tag, said: str, meant: str) -> Remark:
    """That the tag should be written as the id of the concept that is meant."""
    return Remark((data.place(note, tag),), said, f"#{tag.written}", (_retag(note, tag, meant),), f"write #{meant}")


def _retag(note: Segment, tag: Tag, concept: str) -> Retag:
    return Retag(file=note.file, line=tag.line, column=tag.column, concept=concept)


def parent_and_child(data: AuditData) -> Iterator[Remark]:
    for note in data.notes:
        for tag, narrower in _tags_above_others(note, data.vocabulary):
            said = f"#{tag.name} stands beside #{narrower.name}, which is below it and counts for it already"
            remark = Remark((data.place(note, tag),), said, f"#{tag.name}")
            if tag.own == narrower.own:
                remark = replace(remark, retags=(_retag(note, tag, narrower.name),), fix=f"take #{tag.name} out")
            yield remark


def _tags_above_others(note: Segment, vocabulary: Vocabulary) -> Iterator[tuple[Tag, Tag]]:
    """Tags with one that stands for them already; what another fighter does is another act."""
    below: dict[str, list[Tag]] = defaultdict(list)
    for tag in note.tags:
        if tag.concept:
            for broader in vocabulary.with_broader(tag.concept):
                if broader != tag.concept:
                    below[broader].append(tag)
    for tag in note.tags:
        same = [one for one in below.get(tag.name, ()) if _may_be_one_act(note, tag, one)]
        if tag.concept and same:
            yield tag, same[0]


def _may_be_one_act(note: Segment, tag: Tag, other: Tag) -> bool:
    one, two = (set(each.own.by or note.fields.by) for each in (tag, other))
    return not one or not two or one == two
