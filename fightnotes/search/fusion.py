"""Meaning, words and concepts fused into one score.

What a moment's text says comes first: the mean of the cosine of query and moment and of how well its words answer.
A tag is evidence beside the text: what a concept is nearer to the query than `NO_EVIDENCE` is added, weighed with
`TAG_WEIGHT`, so that a tagged note goes before an untagged one that says the same, and not before one that says more.
Both numbers were chosen on half of the judged queries, with all tags and with those of half the bouts
(`python -m tests.bench.query_quality` reports the other half and a library that nothing was chosen on).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from fightnotes.index.encoder import Vectors
from fightnotes.index.placed_vectors import best_rows
from fightnotes.index.store import Store
from fightnotes.index.vector_file import Ids
from fightnotes.search.meaning import concept_nearness
from fightnotes.search.once import once_per_store
from fightnotes.search.query import Query
from fightnotes.search.words import word_scores

WORDS_LOOKED_AT = 200
"""Segments, best first by BM25, whose words are held against the query's."""
NEAREST_LOOKED_AT = 1000
"""Segments, nearest first, that are scored where a query is not held against all: so many hold the nearest with most
of the tags that come near, which then need no search of their own."""
NO_EVIDENCE = 0.3
"""Nearness of a concept up to which its tag says nothing: any two texts of the trade come as near."""
TAG_WEIGHT = 0.2
NEAR_CONCEPT = 0.35
"""Nearness from which on a tag alone makes a segment a hit, and is named among the reasons."""
ENOUGH_MEANING = 0.25
"""Cosine below which a moment that shares neither word nor concept is no hit."""
ENOUGH_FOR_STRANGE = 0.38
"""The same for a query of strange words alone, for which a tag is not enough: of 300 random strings most come less
near to any note of the demo (the median is 0.34, nine in ten below 0.40); a real word that no note says may come as
near."""


@dataclass(frozen=True)
class Match:
    """A segment, and what the query has to do with it."""

    number: int
    """Its id."""
    score: float
    meaning: float
    """Cosine, -1 to 1."""
    words: float
    """How well its words answer the query's: 0 to 1."""
    concepts: dict[str, float]
    """Its tags that the query comes near to, with how near."""


@dataclass(frozen=True)
class _HeldAgainst:
    """What segments are held against."""

    vector: Vectors
    words: dict[int, float]
    """How well the words of the best segments by BM25 answer."""
    nearness: dict[str, float]
    """How near the query comes to each concept."""
    near_tags: Vectors
    """The nearness of each of the store's tags by its code, 0 at least."""
    allowed: Ids | None
    """Which segments may answer, ascending; None for all."""
    strange: bool


@dataclass(frozen=True)
class _Weighed:
    """Segments, ids ascending, row by row with what the query has to do with each."""

    ids: Ids
    meaning: Vectors
    words: Vectors
    tags: Vectors
    """Nearness of the nearest tag."""
    score: Vectors
    found: npt.NDArray[np.bool_]
    """Whether it is a hit at all."""

    def best(self, count: int) -> Ids:
        """Rows of the best hits, best first, ids breaking ties."""
        return best_rows(self.score, np.flatnonzero(self.found), count)


def best_matches(
    query: Query, vector: Vectors, store: Store, among: Ids | None, strange: bool, count: int
) -> list[Match]:
    """The best `count` segments, best first, that hold the quoted phrases; only of `among` where that is given.

    `strange` says that neither a note nor the model knows the query's words. Ids break ties.
    """
    asked = _read_for(query, vector, store, among, strange)
    scored = _score_all(asked, store) if store.is_searched_whole else _score_candidates(asked, store, count)
    best = scored.best(count)
    concepts = _near_concepts(scored.ids[best], asked, store)
    return [
        Match(
            int(scored.ids[row]),
            float(scored.score[row]),
            float(scored.meaning[row]),
            float(scored.words[row]),
            concepts[int(scored.ids[row])],
        )
        for row in best.tolist()
    ]


def count_matches(query: Query, vector: Vectors, store: Store, among: Ids | None, strange: bool) -> int:
    """How many segments answer at all."""
    return int(_score_all(_read_for(query, vector, store, among, strange), store).found.sum())


def _read_for(query: Query, vector: Vectors, store: Store, among: Ids | None, strange: bool) -> _HeldAgainst:
    allowed = among
    if query.phrases:
        holding = store.phrase_holders(query.phrases)
        allowed = holding if among is None else np.intersect1d(holding, among, assume_unique=True)
    words = word_scores(query, store, WORDS_LOOKED_AT, among)
    nearness = concept_nearness(query, vector, store)
    near_tags = np.array([max(nearness.get(tag, 0), 0) for tag in store.tag_table.names], dtype=np.float32)
    return _HeldAgainst(vector, words, nearness, near_tags, allowed, strange)


def _score_all(asked: _HeldAgainst, store: Store) -> _Weighed:
    return _score(asked, store, store.ids, store.every_cosine(asked.vector), _tags_of_all(store))


@once_per_store
def _tags_of_all(store: Store) -> tuple[Ids, Ids]:
    return store.tag_table.of(store.ids)


def _score_candidates(asked: _HeldAgainst, store: Store, count: int) -> _Weighed:
    """Of the segments that may be among the best `count`: all of these, as far as `Store.nearest` finds the nearest.

    They are the nearest, those whose words answer, and for each tag the nearest that have it. What else is there has
    no score for words, comes no nearer than the last of the nearest, and nothing but a tag may lift it. Where its
    nearest tag is t and `count` segments with t come nearer, these have at least its score. So a tag needs no search
    of its own where the nearest hold `count` with it, or where the last of the nearest with this tag would still
    stand below `count` others.
    """
    share = 1.0 if asked.allowed is None else len(asked.allowed) / store.size
    wanted = max(count, int(NEAREST_LOOKED_AT * share))
    ids, cosines = store.nearest(asked.vector, wanted, asked.allowed)
    said = np.array(list(asked.words), dtype=np.int64)
    scored = _score_some(asked, store, np.union1d(ids, said))
    best = scored.best(count)
    bar = float(scored.score[best[-1]]) if len(best) >= count else -np.inf
    far = max(float(cosines[-1]), 0.0) if len(ids) == wanted else 0.0  # what has no text comes as near as 0
    there = np.bincount(store.tag_table.of(np.sort(ids))[1], minlength=len(asked.near_tags))
    may_rise = fused(np.full_like(asked.near_tags, far), np.zeros_like(asked.near_tags), asked.near_tags) >= bar
    lacking = (asked.near_tags > NO_EVIDENCE) & (there < count) & may_rise
    more = [_nearest_with(tag, asked, store, count) for tag, code in store.tag_table.names.items() if lacking[code]]
    return _score_some(asked, store, np.unique(np.concatenate([scored.ids, *more]))) if more else scored


def _nearest_with(tag: str, asked: _HeldAgainst, store: Store, count: int) -> Ids:
    """The nearest that have a tag; all of them, also those without text, where no `count` come near at all."""
    tagged = store.tagged[tag]
    if asked.allowed is not None:
        tagged = np.intersect1d(tagged, asked.allowed, assume_unique=True)
    ids, cosines = store.nearest(asked.vector, count, tagged)
    return ids if len(ids) >= count and cosines[-1] > 0 else tagged


def _score_some(asked: _HeldAgainst, store: Store, ids: Ids) -> _Weighed:
    return _score(asked, store, ids, store.cosines(asked.vector, ids), store.tag_table.of(ids))


def _score(asked: _HeldAgainst, store: Store, ids: Ids, meaning: Vectors, tags_of: tuple[Ids, Ids]) -> _Weighed:
    words, tags = (np.zeros(len(ids), dtype=np.float32) for _ in range(2))
    words[np.searchsorted(ids, list(asked.words))] = list(asked.words.values())
    rows, codes = tags_of
    np.maximum.at(tags, rows, asked.near_tags[codes])
    if asked.strange:
        found = (words > 0) | (meaning >= ENOUGH_FOR_STRANGE)
    else:
        found = (words > 0) | (tags >= NEAR_CONCEPT) | (meaning >= ENOUGH_MEANING)
    if asked.allowed is not None:
        found &= np.isin(ids, asked.allowed, assume_unique=True)
    return _Weighed(ids, meaning, words, tags, fused(meaning, words, tags), found)


def fused(meaning: Vectors, words: Vectors, tags: Vectors) -> Vectors:
    """The score: see above."""
    evidence = np.maximum(0, (tags - NO_EVIDENCE) / (1 - NO_EVIDENCE))
    score: Vectors = ((meaning + words) / 2 + TAG_WEIGHT * evidence) / (1 + TAG_WEIGHT)
    return score


def _near_concepts(ids: Ids, asked: _HeldAgainst, store: Store) -> dict[int, dict[str, float]]:
    """For each of some segments its tags that the query comes near to."""
    ordered, table = np.sort(ids), store.tag_table
    rows, codes = table.of(ordered)
    concepts: dict[int, dict[str, float]] = {number: {} for number in ids.tolist()}
    for tag, near in asked.nearness.items():
        if near >= NEAR_CONCEPT and tag in table.names:
            for number in ordered[rows[codes == table.names[tag]]].tolist():
                concepts[number][tag] = near
    return concepts
