"""The measures of the judged queries against other implementations, on the program's own run over the demo.

nDCG@10 (Järvelin and Kekäläinen 2002, gains as graded, log2 discount), recall@20 and reciprocal rank as ir_measures
0.4 gives them, against pytrec_eval-terrier 0.5 (NIST's trec_eval; ir_measures may ask it too) and, for nDCG, against
scikit-learn's `ndcg_score`, which shares no code with either.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
import pytrec_eval
from sklearn.metrics import ndcg_score

from fightnotes.index.local_store import LocalStore
from tests.judged.evaluation import Judged, default_ranking, load_queries, measure

Run = dict[str, list[str]]


@pytest.fixture(scope="module")
def judged_run(demo: Path) -> tuple[list[Judged], Run]:
    store = LocalStore(demo)
    queries = load_queries(store)
    return queries, {judged.query: default_ranking(store, judged.query) for judged in queries}


def test_as_trec_eval_counts(judged_run: tuple[list[Judged], Run]) -> None:
    queries, run = judged_run
    evaluator = pytrec_eval.RelevanceEvaluator(
        {judged.id: dict(judged.relevant) for judged in queries}, {"ndcg_cut.10", "recall.20", "recip_rank"}
    )
    theirs = evaluator.evaluate(
        {
            judged.id: {place: float(-rank) for rank, place in enumerate(run[judged.query])} or {"nothing": 0.0}
            for judged in queries
        }
    )
    ours = measure(queries, run.__getitem__)
    for judged in queries:
        found = [ours[name][judged.id] for name in ("nDCG@10", "R@20", "RR")]
        expected = [theirs[judged.id][name] for name in ("ndcg_cut_10", "recall_20", "recip_rank")]
        assert found == pytest.approx(expected, abs=1e-6), judged.query


def test_ndcg_as_scikit_learn_counts(judged_run: tuple[list[Judged], Run]) -> None:
    queries, run = judged_run
    ours = measure(queries, run.__getitem__)["nDCG@10"]
    for judged in queries:
        found = run[judged.query]
        pool = [*found, *(place for place in judged.relevant if place not in found)]
        grades = np.array([[judged.relevant.get(place, 0) for place in pool]])
        scores = -np.arange(len(pool), dtype=float).reshape(1, -1)
        scores[0, len(found) :] = -1e6  # not in the answer: behind everything, where a depth of 10 never comes
        if len(found) >= 10:
            assert ours[judged.id] == pytest.approx(ndcg_score(grades, scores, k=10), abs=1e-6), judged.query
