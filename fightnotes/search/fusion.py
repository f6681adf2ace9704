"""Meaning, words and concepts fused into one score."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from fightnotes.index.encoder import Vectors
from fightnotes.index.store import Store
from fightnotes.search.query import Query
from fightnotes.search.words import word_matches

DEPTH = 200
"""How many segments each side puts forward."""
WORD_WEIGHT = 0.25
"""What the best lexical match is worth, in cosine."""
CONCEPT_WEIGHT = 0.3
"""What a tag is worth that the query names by a label, in cosine."""
NEAR_CONCEPT = 0.45
"""Cosine of query and concept from which on the concept counts without being named."""
ENOUGH_MEANING = 0.25
"""Cosine below which a moment that shares neither word nor concept is no hit."""


@dataclass
class Candidate:
    """A segment that one side or more put forward."""

    meaning: float = 0.0
    words: float = 0.0
    """BM25, relative to the best match of this query: 0 to 1."""
    concepts: dict[str, float] = field(default_factory=dict)
    """Its tags that the query asks for, with how sure that is: 1 where named, else the cosine."""

    @property
    def score(self) -> float:
        return self.meaning + WORD_WEIGHT * self.words + CONCEPT_WEIGHT * max(self.concepts.values(), default=0.0)

    @property
    def found(self) -> bool:
        return bool(self.words or self.concepts) or self.meaning >= ENOUGH_MEANING


@dataclass(frozen=True)
class Sides:
    """Which sides count; the default is all. One alone is for comparison."""

    meaning: bool = True
    words: bool = True
    concepts: bool = True


def candidates(
    query: Query, vector: Vectors, store: Store, among: Sequence[int] | None, sides: Sides
) -> dict[int, Candidate]:
    """What every side puts forward, by segment id, each with all that is known of it."""
    found: dict[int, Candidate] = {}
    if sides.meaning:
        for number, _ in zip(*store.nearest(vector, DEPTH, among), strict=True):
            found.setdefault(int(number), Candidate())
    if sides.words:
        matches = word_matches(query, store, DEPTH, among)
        best = max(matches.values(), default=0.0)
        for number, bm25 in matches.items():
            found.setdefault(number, Candidate()).words = bm25 / best if best > 0 else 1.0
    if sides.concepts:
        _add_concepts(query, vector, store, among, found)
    if sides.meaning:
        numbers = list(found)
        for number, cosine in zip(numbers, store.vectors_of(numbers) @ vector, strict=True):
            found[number].meaning = float(cosine)
    return found


def concepts_asked(query: Query, vector: Vectors, store: Store) -> dict[str, float]:
    """Concepts that the query names (1) or comes near to in meaning (the cosine); a concept brings its narrower ones."""
    ids, vectors = store.concept_vectors
    near = vectors @ vector if len(ids) else np.empty(0)
    asked = {identity: float(cosine) for identity, cosine in zip(ids, near, strict=True) if cosine >= NEAR_CONCEPT}
    for sought in query.concepts:
        asked.update(dict.fromkeys(store.vocabulary.with_narrower(sought.concept), 1.0))
    return asked


def _add_concepts(
    query: Query, vector: Vectors, store: Store, among: Sequence[int] | None, found: dict[int, Candidate]
) -> None:
    allowed = None if among is None else set(among)
    for concept, sureness in concepts_asked(query, vector, store).items():
        rows = store.connection.execute("SELECT DISTINCT segment FROM acts WHERE concept = ?", (concept,))
        tagged = [row[0] for row in rows if allowed is None or row[0] in allowed]
        if len(tagged) > DEPTH:
            tagged = [int(number) for number in store.nearest(vector, DEPTH, tagged)[0]]
        for number in tagged:
            found.setdefault(number, Candidate()).concepts[concept] = sureness
