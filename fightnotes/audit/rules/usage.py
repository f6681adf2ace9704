"""Concepts that nobody uses, and concepts that stand for nearly everything."""

from __future__ import annotations

from collections.abc import Iterator

from fightnotes.audit.data import AuditData
from fightnotes.audit.rules.rule import Remark, TooLittle

_ENOUGH_TAGS = 5
"""Tags a concept, on average, below which a rare one says nothing yet (set by hand)."""
_RARE = 0.02
"""Of the average use of a concept (set by hand)."""
_ENOUGH_NOTES = 50
_BROAD = 0.3
"""Of all tagged notes (set by hand)."""


def rare_concept(data: AuditData) -> Iterator[Remark | TooLittle]:
    concepts = data.vocabulary.concepts
    tags = sum(len(notes) for notes in data.tagged_with.values())
    if tags < _ENOUGH_TAGS * len(concepts):
        yield TooLittle(f"there are {tags} tags for {len(concepts)} concepts, fewer than {_ENOUGH_TAGS} for each")
        return
    for concept in concepts:
        below = data.vocabulary.with_narrower(concept.id)
        used = sum(len(data.tagged_with.get(name, ())) for name in below)
        if used * len(concepts) <= _RARE * tags:
            times = "never" if not used else f"{used} times" if used > 1 else "once"
            said = f"{concept.id} is used {times} among {tags} tags: keep it, merge it or retire it"
            yield Remark((data.place_of_concept(concept),), said, concept.id)


def broad_concept(data: AuditData) -> Iterator[Remark | TooLittle]:
    tagged = sum(1 for note in data.notes if note.tags)
    if tagged < _ENOUGH_NOTES:
        yield TooLittle(f"{tagged} notes are tagged, fewer than {_ENOUGH_NOTES}")
        return
    for concept in data.vocabulary.concepts:
        used = len(data.tagged_with.get(concept.id, ()))
        if used > _BROAD * tagged:
            said = f"{concept.id} is on {used} of {tagged} tagged notes: narrower concepts would tell them apart"
            yield Remark((data.place_of_concept(concept),), said, concept.id)
