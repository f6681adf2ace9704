"""Meaning: how near a query comes to every concept."""

from __future__ import annotations

from fightnotes.index.encoder import Vectors
from fightnotes.index.store import Store
from fightnotes.search.query import Query

NAMED = 0.5
"""The least nearness of a concept that the query names by a label, and of those below it."""


def concept_nearness(query: Query, vector: Vectors, store: Store) -> dict[str, float]:
    """How near the query comes to each concept: the largest cosine with a label or the definition, at least
    `NAMED` where the query says a label."""
    ids, vectors = store.wording_vectors
    near: dict[str, float] = {}
    for concept, cosine in zip(ids, vectors @ vector, strict=True):
        near[concept] = max(near.get(concept, -1.0), float(cosine))
    for sought in query.concepts:
        for concept in store.vocabulary.with_narrower(sought.concept):
            near[concept] = max(near.get(concept, 0.0), NAMED)
    return near
