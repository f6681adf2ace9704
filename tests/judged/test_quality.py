"""How well the judged queries over the demo are answered with the real model: the default against its sides alone."""

from __future__ import annotations

from pathlib import Path

import pytest

from fightnotes.index.local_store import LocalStore
from fightnotes.search import polarity
from tests.judged.evaluation import (
    SYSTEMS,
    Judged,
    default_ranking,
    difference_interval,
    load_queries,
    measure,
    opposed_above,
)

Answers = dict[str, dict[str, list[str]]]
DEFAULT = "the default"


@pytest.fixture(scope="module")
def queries(demo: Path) -> list[Judged]:
    return load_queries(LocalStore(demo))


@pytest.fixture(scope="module")
def answers(demo: Path, queries: list[Judged]) -> Answers:
    """Each system's places for each query's text."""
    store = LocalStore(demo)
    return {
        name: {judged.query: ranking(store, judged.query) for judged in queries} for name, ranking in SYSTEMS.items()
    }


def ndcg(queries: list[Judged], found: dict[str, list[str]]) -> dict[str, float]:
    return measure(queries, found.__getitem__)["nDCG@10"]


@pytest.mark.parametrize("alone", ["words alone", "vectors alone"])
def test_the_default_beats_each_side_alone(queries: list[Judged], answers: Answers, alone: str) -> None:
    mean, low, high = difference_interval(ndcg(queries, answers[DEFAULT]), ndcg(queries, answers[alone]))
    assert mean > 0, f"{mean:+.3f} ({low:+.3f} to {high:+.3f})"


def test_without_shared_words_the_default_clearly_beats_words_alone(queries: list[Judged], answers: Answers) -> None:
    disjoint = [judged for judged in queries if judged.disjoint]
    assert len(disjoint) >= len(queries) / 2
    mean, low, high = difference_interval(ndcg(disjoint, answers[DEFAULT]), ndcg(disjoint, answers["words alone"]))
    assert low > 0, f"{mean:+.3f} ({low:+.3f} to {high:+.3f})"


def test_holding_denials_against_the_query_keeps_opposite_moments_back(
    demo: Path, queries: list[Judged], answers: Answers, monkeypatch: pytest.MonkeyPatch
) -> None:
    two_sided = [judged for judged in queries if judged.opposed]
    wrong, pairs = opposed_above(two_sided, answers[DEFAULT].__getitem__)
    for loss in ("LOST_DENIED", "LOST_REPORTED", "LOST_ASSERTING"):
        monkeypatch.setattr(polarity, loss, 0.0)
    store = LocalStore(demo)
    wrong_without, _ = opposed_above(two_sided, lambda query: default_ranking(store, query))
    print(f"opposite moment above: {wrong} of {pairs} pairs, {wrong_without} where denials do not count")
    assert wrong < wrong_without
