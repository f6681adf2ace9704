"""Meaning, words and concepts fused into one score.

A score is the mean of three parts: the cosine of query and moment, the square of the share of the query's
words that the moment says, and the nearness of its nearest tag. The square keeps one chance word of a long
query from counting for much. The parts weigh the same: on the judged queries (`tests/judged/`) no
other weights did clearly better.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

import numpy as np

from fightnotes.index.encoder import Vectors
from fightnotes.index.store import Store
from fightnotes.index.vector_file import Ids
from fightnotes.search.query import Query
from fightnotes.search.words import word_shares

DEPTH = 200
"""How many segments each side puts forward."""
NAMED = 0.5
"""The least nearness of a concept that the query names by a label, and of those below it."""
CONCEPTS_FOLLOWED = 5
"""How many concepts put forward the segments tagged with them, nearest first."""
NEAR_CONCEPT = 0.35
"""Nearness from which on a concept is followed, and named among the reasons."""
ENOUGH_MEANING = 0.25
"""Cosine below which a moment that shares neither word nor concept is no hit."""


@dataclass
class Candidate:
    """A segment that one side or more put forward."""

    meaning: float = 0.0
    words: float = 0.0
    """Share of the query's words that it says, by their weight: 0 to 1."""
    concepts: dict[str, float] = field(default_factory=dict)
    """Its tags, with how near the query comes to each."""

    @property
    def score(self) -> float:
        nearest_tag = max(0.0, max(self.concepts.values(), default=0.0))
        return (self.meaning + self.words**2 + nearest_tag) / 3

    @property
    def found(self) -> bool:
        near = any(nearness >= NEAR_CONCEPT for nearness in self.concepts.values())
        return self.words > 0 or near or self.meaning >= ENOUGH_MEANING


@dataclass(frozen=True)
class Sides:
    """Which sides count; the default is all. One alone is for comparison."""

    meaning: bool = True
    words: bool = True
    concepts: bool = True


def candidates(query: Query, vector: Vectors, store: Store, among: Ids | None, sides: Sides) -> dict[int, Candidate]:
    """What every side puts forward, by segment id, each with all that is known of it."""
    found: dict[int, Candidate] = {}
    if sides.meaning:
        _add(found, store.nearest(vector, DEPTH, among)[0])
    if sides.words:
        for number, share in word_shares(query, store, DEPTH, among).items():
            found.setdefault(number, Candidate()).words = share
    if sides.concepts:
        nearness = concept_nearness(query, vector, store)
        for concept in _followed(query, nearness):
            tagged = store.tagged.get(concept, np.empty(0, dtype=np.int64))
            if among is not None:
                tagged = np.intersect1d(tagged, among, assume_unique=True)
            if len(tagged):
                _add(found, store.nearest(vector, DEPTH, tagged)[0] if len(tagged) > DEPTH else tagged)
        for number, tag in store.tags_of(found):
            found[number].concepts[tag] = nearness.get(tag, 0.0)
    if sides.meaning:
        numbers = list(found)
        for number, cosine in zip(numbers, store.vectors_of(numbers) @ vector, strict=True):
            found[number].meaning = float(cosine)
    return found


def concept_nearness(query: Query, vector: Vectors, store: Store) -> dict[str, float]:
    """How near the query comes to each concept: the largest cosine with a label or the definition, at least
    `NAMED` where the query says a label."""
    ids, vectors = store.wording_vectors
    near: dict[str, float] = {}
    for concept, cosine in zip(ids, vectors @ vector if len(ids) else (), strict=True):
        near[concept] = max(near.get(concept, -1.0), float(cosine))
    for sought in query.concepts:
        for concept in store.vocabulary.with_narrower(sought.concept):
            near[concept] = max(near.get(concept, 0.0), NAMED)
    return near


def _followed(query: Query, nearness: dict[str, float]) -> list[str]:
    """The concepts that the query names, and the nearest others."""
    near = [concept for concept in nearness if nearness[concept] >= NEAR_CONCEPT]
    nearest = sorted(near, key=lambda concept: -nearness[concept])[:CONCEPTS_FOLLOWED]
    return list(dict.fromkeys([*(sought.concept for sought in query.concepts), *nearest]))


def _add(found: dict[int, Candidate], ids: Iterable[int]) -> None:
    for number in ids:
        found.setdefault(int(number), Candidate())
