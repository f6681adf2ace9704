"""How often, where and by whom each concept is used, and the concepts as a tree."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator
from typing import Any

from fightnotes.model import Concept, Record, Segment, Vocabulary
from fightnotes.vocabulary.changed import named

UNKNOWN_ANALYST = "unknown"
Step = tuple[str, int, bool]
"""A concept's id, how deep it stands, and whether it was shown before."""


class Uses(Record):
    tags: int
    """How many tags name it."""
    moments: int
    """How many moments bear its tag or that of a narrower one."""
    bouts: int
    """In how many bouts."""
    analysts: dict[str, int]
    """Tags by who wrote them, the busiest first."""


class Branch(Record):
    concept: Concept
    narrower: tuple[str, ...]
    """Ids of those directly below it."""
    uses: Uses
    depth: int
    again: bool
    """Whether it was shown before, under another broader concept; what is below it is not shown again then."""

    def as_json(self) -> dict[str, Any]:
        return {
            **self.concept.model_dump(mode="json"),
            "narrower": list(self.narrower),
            "used": self.uses.model_dump(mode="json"),
        }


def concept_tree(vocabulary: Vocabulary, segments: Iterable[Segment], top: str | None = None) -> tuple[Branch, ...]:
    """The concepts below each other in the order of the file; with `top`, an id or a label, it and what is below it.

    Raises UnknownName for no such concept.
    """
    if top is not None:
        top = named(vocabulary, vocabulary.resolve(top) or top).id
    uses = concept_uses(vocabulary, segments)
    return tuple(
        Branch(concept=vocabulary.by_id[id], narrower=vocabulary.narrower[id], uses=uses[id], depth=depth, again=again)
        for id, depth, again in tree(vocabulary, top)
    )


def concept_uses(vocabulary: Vocabulary, segments: Iterable[Segment]) -> dict[str, Uses]:
    """By id, for every concept of the vocabulary."""
    tags: dict[str, Counter[str]] = defaultdict(Counter)
    moments: Counter[str] = Counter()
    bouts: dict[str, set[str]] = defaultdict(set)
    for segment in segments:
        named = [tag.concept for tag in segment.tags if tag.concept]
        for concept in named:
            tags[concept][segment.analyst or UNKNOWN_ANALYST] += 1
        for concept in {above for each in named for above in vocabulary.with_broader(each)}:
            moments[concept] += 1
            bouts[concept].add(segment.bout)
    return {
        id: Uses(
            tags=tags[id].total(), moments=moments[id], bouts=len(bouts[id]), analysts=dict(tags[id].most_common())
        )
        for id in vocabulary.by_id
    }


def tree(vocabulary: Vocabulary, top: str | None = None) -> Iterator[Step]:
    """The concepts below each other in the order of the file, or `top` and what is below it.

    Concepts in a cycle with nothing above it come last, from the first of them.
    """
    seen: set[str] = set()
    if top is not None:
        yield from _below(vocabulary, top, 0, seen)
        return
    for concept in vocabulary.concepts:
        if not any(broader in vocabulary.by_id for broader in concept.broader):
            yield from _below(vocabulary, concept.id, 0, seen)
    for concept in vocabulary.concepts:
        if concept.id not in seen:
            yield from _below(vocabulary, concept.id, 0, seen)


def _below(vocabulary: Vocabulary, top: str, depth: int, seen: set[str]) -> Iterator[Step]:
    waiting = [(top, depth)]
    while waiting:
        id, here = waiting.pop()
        again = id in seen
        seen.add(id)
        yield id, here, again
        if not again:
            waiting.extend((child, here + 1) for child in reversed(vocabulary.narrower[id]))
