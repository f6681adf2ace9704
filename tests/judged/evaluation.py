"""How well queries are answered: the judged queries over the demo, measured with ir_measures.

nDCG@10 (Järvelin and Kekäläinen 2002), recall@20 and reciprocal rank come from the package ir_measures;
a grade of 1 or 2 is relevant for the last two.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from ir_measures import RR, R, iter_calc, nDCG
from ruamel.yaml import YAML

from fightnotes.index.store import Store
from fightnotes.search.find import find
from fightnotes.search.fusion import Sides

QUERIES = Path(__file__).with_name("queries.yaml")
MEASURES = (nDCG @ 10, R @ 20, RR)
SYSTEMS: dict[str, Sides] = {
    "words alone": Sides(meaning=False, concepts=False),
    "vectors alone": Sides(words=False, concepts=False),
    "the default": Sides(),
}
DEPTH = 50


@dataclass(frozen=True)
class Judged:
    id: str
    query: str
    disjoint: bool
    """Whether it shares no content word with what it seeks."""
    relevant: Mapping[str, int]
    """Segment's file:line -> grade."""
    opposed: tuple[str, ...]
    """Segments that say the opposite."""


def load_queries(store: Store) -> list[Judged]:
    """The judged queries, with every place turned into that of the segment that covers it. Raises KeyError for none."""
    covers: dict[str, str] = {}
    for segment in sorted(store.every_segment().values(), key=lambda segment: (segment.line, segment.parent_line or 0)):
        for line in range(segment.line, segment.last_line + 1):
            covers[f"{segment.file}:{line}"] = f"{segment.file}:{segment.line}"
    entries = YAML(typ="safe").load(QUERIES.read_text(encoding="utf-8"))
    return [
        Judged(
            id=entry["id"],
            query=entry["query"],
            disjoint=entry["words"] == "disjoint",
            relevant={covers[place]: grade for place, grade in entry["relevant"].items()},
            opposed=tuple(covers[place] for place in entry.get("opposed") or ()),
        )
        for entry in entries
    ]


def ranking(store: Store, query: str, sides: Sides) -> list[str]:
    """Places in the order in which a person meets them: a hit, then the notes of the same moment beside it."""
    places: list[str] = []
    for hit in find(store, query, limit=DEPTH, sides=sides).hits:
        places.append(hit.place)
        places.extend(twin.place for twin in hit.same_moment)
    return places


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
