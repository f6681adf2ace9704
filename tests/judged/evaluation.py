"""How well queries are answered: the judged queries over the demo and over a second library, measured with ir_measures.

Half of the demo's queries may be tuned on. The other half, and the second library, which other hands wrote and judged
in other habits, are only reported.

nDCG@10 (Järvelin and Kekäläinen 2002), recall@20 and reciprocal rank come from the package ir_measures;
a grade of 1 or 2 is relevant for the last two.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

import numpy as np
from ir_measures import RR, R, iter_calc, nDCG
from ruamel.yaml import YAML

from fightnotes.index.store import Store
from fightnotes.search.find import find
from fightnotes.search.people import fighter_names
from fightnotes.search.query import query_labels, read_query
from fightnotes.search.words import word_scores

QUERIES = Path(__file__).with_name("queries.yaml")
SECOND = Path(__file__).with_name("second")
"""A library of its own, with its queries in `queries.yaml`."""
MEASURES = (nDCG @ 10, R @ 20, RR)
DEPTH = 50
Part = Literal["tune", "report"]


@dataclass(frozen=True)
class Judged:
    id: str
    query: str
    part: Part
    disjoint: bool
    """Whether it shares no content word with what it seeks."""
    relevant: Mapping[str, int]
    """Segment's file:line -> grade."""
    opposed: tuple[str, ...]
    """Segments that say the opposite."""


def load_queries(store: Store, path: Path = QUERIES) -> list[Judged]:
    """The judged queries of a library, every place turned into that of the segment that covers it.

    Raises KeyError for a place that no segment covers.
    """
    covers: dict[str, str] = {}
    for segment in sorted(store.every_segment().values(), key=lambda segment: (segment.line, segment.parent_line or 0)):
        for line in range(segment.line, segment.last_line + 1):
            place = f"{segment.file}:{line}"
            if segment.kind == "note" or place not in covers:  # a cue is of the moment in which it begins
                covers[place] = f"{segment.file}:{segment.line}"
    entries = YAML(typ="safe").load(path.read_text(encoding="utf-8"))
    return [
        Judged(
            id=entry["id"],
            query=entry["query"],
            part=entry.get("part", "report"),
            disjoint=entry["words"] == "disjoint",
            relevant={covers[place]: grade for place, grade in entry["relevant"].items()},
            opposed=tuple(covers[place] for place in entry.get("opposed") or ()),
        )
        for entry in entries
    ]


def default_ranking(store: Store, query: str) -> list[str]:
    """Places in the order in which a person meets them: a hit, then the notes of the same moment beside it."""
    places: list[str] = []
    for hit in find(store, query, limit=DEPTH).hits:
        places.append(hit.place)
        places.extend(twin.place for twin in hit.same_moment)
    return places


def vector_ranking(store: Store, query: str) -> list[str]:
    """By the cosine with the whole query alone."""
    cosines = store.every_cosine(store.encoder.encode([query])[0])
    best = np.argsort(-cosines, kind="stable")[:DEPTH]
    return [segment.place for segment in store.segments(store.ids[best]).values()]


def word_ranking(store: Store, query: str) -> list[str]:
    """By the words alone."""
    scores = word_scores(read_query(query, fighter_names(store), query_labels(store.vocabulary)), store, DEPTH, None)
    best = sorted(scores, key=lambda number: (-scores[number], number))[:DEPTH]
    return [segment.place for segment in store.segments(best).values()]


SYSTEMS: dict[str, Callable[[Store, str], list[str]]] = {
    "words alone": word_ranking,
    "vectors alone": vector_ranking,
    "the default": default_ranking,
}


def measure(queries: Sequence[Judged], answer: Callable[[str], Sequence[str]]) -> dict[str, dict[str, float]]:
    """Each measure for each query: measure's name -> query id -> value."""
    qrels = {judged.id: dict(judged.relevant) for judged in queries}
    run = {
        judged.id: {place: 1.0 / (rank + 1) for rank, place in enumerate(answer(judged.query))} for judged in queries
    }
    values: dict[str, dict[str, float]] = {str(name): dict.fromkeys(qrels, 0.0) for name in MEASURES}
    for found in iter_calc(MEASURES, qrels, run):
        values[str(found.measure)][found.query_id] = found.value
    return values


def difference_interval(
    first: Mapping[str, float], second: Mapping[str, float], resamples: int = 10_000
) -> tuple[float, float, float]:
    """Mean of first minus second over the queries, with its 95 % percentile bootstrap interval (paired, seeded)."""
    gaps = np.array([first[identity] - second[identity] for identity in first])
    draws = np.random.default_rng(20310308).integers(0, len(gaps), size=(resamples, len(gaps)))
    low, high = np.percentile(gaps[draws].mean(axis=1), [2.5, 97.5])
    return float(gaps.mean()), float(low), float(high)


def opposed_above(queries: Sequence[Judged], answer: Callable[[str], Sequence[str]]) -> tuple[int, int]:
    """Of all pairs of a fully relevant moment and its opposite, how many are ranked the wrong way round."""
    wrong = pairs = 0
    for judged in queries:
        if not judged.opposed:
            continue
        ranks = {place: rank for rank, place in enumerate(answer(judged.query))}
        for good in (place for place, grade in judged.relevant.items() if grade == 2):
            for bad in judged.opposed:
                pairs += 1
                wrong += ranks.get(bad, DEPTH * 2) < ranks.get(good, DEPTH * 2)
    return wrong, pairs
