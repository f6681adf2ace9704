"""Meaning, words and concepts fused into one score.

What a moment's text says comes first: the mean of the cosine of query and moment and of how well its words answer.
A tag is evidence beside the text: what a concept is nearer to the query than `NO_EVIDENCE` is added, weighed with
`TAG_WEIGHT`, so that a tagged note goes before an untagged one that says the same, and not before one that says more.
Both numbers were chosen on half of the judged queries, with all tags and with those of half the bouts
(`python -m tests.bench.query_quality` reports the other half and a library that nothing was chosen on).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from fightnotes.index.encoder import Vectors
from fightnotes.index.store import Store
from fightnotes.index.vector_file import Ids
from fightnotes.search.meaning import concept_nearness, rows_of, segment_cosines
from fightnotes.search.query import Query
from fightnotes.search.words import phrase_matches, word_scores

WORDS_LOOKED_AT = 200
"""Segments, best first by BM25, whose words are held against the query's."""
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


def best_matches(
    query: Query, vector: Vectors, store: Store, among: Ids | None, strange: bool, count: int
) -> list[Match]:
    """The best `count` segments, best first, that hold the quoted phrases; only of `among` where that is given.

    `strange` says that neither a note nor the model knows the query's words. Ids break ties.
    """
    rows = rows_of(store)
    words, tags = (np.zeros(len(rows.ids), dtype=np.float32) for _ in range(2))
    meaning = segment_cosines(vector, store)
    scores = word_scores(query, store, WORDS_LOOKED_AT, among)
    words[rows.of(list(scores))] = list(scores.values())
    nearness = concept_nearness(query, vector, store)
    near_tags = {tag: near for tag, near in nearness.items() if near > 0 and tag in rows.tagged}
    for tag, near in near_tags.items():
        tagged = rows.tagged[tag]
        tags[tagged] = np.maximum(tags[tagged], near)
    if strange:
        found = (words > 0) | (meaning >= ENOUGH_FOR_STRANGE)
    else:
        found = (words > 0) | (tags >= NEAR_CONCEPT) | (meaning >= ENOUGH_MEANING)
    if query.phrases:
        found &= np.isin(rows.ids, phrase_matches(query, store), assume_unique=True)
    if among is not None:
        found &= np.isin(rows.ids, among, assume_unique=True)
    evidence = np.maximum(0, (tags - NO_EVIDENCE) / (1 - NO_EVIDENCE))
    score = ((meaning + words) / 2 + TAG_WEIGHT * evidence) / (1 + TAG_WEIGHT)
    best = _best(score, np.flatnonzero(found), count)
    concepts: dict[int, dict[str, float]] = {row: {} for row in best.tolist()}
    for tag, near in near_tags.items():
        if near >= NEAR_CONCEPT:
            for row in np.intersect1d(best, rows.tagged[tag], assume_unique=True).tolist():
                concepts[row][tag] = near
    return [
        Match(int(rows.ids[row]), float(score[row]), float(meaning[row]), float(words[row]), concepts[row])
        for row in best.tolist()
    ]


def _best(score: npt.NDArray[np.floating[Any]], rows: Ids, count: int) -> Ids:
    """The `count` of `rows` with the highest scores, highest first, rows breaking ties."""
    if len(rows) > count:
        least = np.partition(score[rows], -count)[-count]
        rows = rows[score[rows] >= least]
    best: Ids = rows[np.lexsort((rows, -score[rows]))][:count]
    return best
