"""More like this, and not like that: a query moved towards some notes and away from others.

The vector is that of Rocchio (Relevance feedback in information retrieval, in Salton, ed., The SMART Retrieval System,
1971): the query's, plus BETA times the mean of those wanted, less GAMMA times the mean of those not, with the weights
of Manning, Raghavan and Schütze, Introduction to Information Retrieval, 2008, 9.1.1.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from fightnotes.errors import UsageError
from fightnotes.index.encoder import Vectors
from fightnotes.index.store import Store
from fightnotes.model import Segment
from fightnotes.search.places import segment_at

BETA, GAMMA = 0.75, 0.15


@dataclass(frozen=True)
class Steering:
    like: dict[int, Segment]
    """By id."""
    unlike: dict[int, Segment]

    def __bool__(self) -> bool:
        return bool(self.like or self.unlike)

    @property
    def ids(self) -> list[int]:
        """Of the notes named: they are no answer to a search for others."""
        return [*self.like, *self.unlike]

    def moved(self, query: Vectors | None, store: Store) -> Vectors:
        """The query's vector moved, of length 1; None for a search by notes alone."""
        vector = np.zeros(store.dimension, dtype=np.float32) if query is None else query
        if self.like:
            vector = vector + BETA * store.vectors_of(list(self.like)).mean(axis=0)
        if self.unlike:
            vector = vector - GAMMA * store.vectors_of(list(self.unlike)).mean(axis=0)
        length = max(float(np.linalg.norm(vector)), 1e-12)
        moved: Vectors = (vector / length).astype(np.float32)
        return moved

    def reasons(self, number: int, store: Store) -> tuple[str, ...]:
        """How near a segment comes to each of the notes wanted."""
        if not self.like:
            return ()
        cosines = store.vectors_of(list(self.like)) @ store.vectors_of([number])[0]
        return tuple(f"{one.place} ({cosine:.2f})" for one, cosine in zip(self.like.values(), cosines, strict=True))


def read_steering(like: Sequence[str], unlike: Sequence[str], store: Store) -> Steering:
    """From places of notes. Raises UsageError where one is wanted and not, or has no words to compare; UnknownName."""
    wanted, unwanted = (dict(segment_at(place, store) for place in places) for places in (like, unlike))
    for number in wanted.keys() & unwanted.keys():
        raise UsageError(f"{wanted[number].place} is to be like and not like: name it once")
    for segment in (*wanted.values(), *unwanted.values()):
        if not segment.text:
            raise UsageError(f"{segment.place} has no words to compare with: it is tags and fields alone")
    return Steering(wanted, unwanted)
