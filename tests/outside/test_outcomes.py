"""Outcomes guessed from notes, against a reference library and against hands that nothing was tuned on.

scikit-learn's `LogisticRegression` (multinomial, L2): the same weights from the same evidence. The hands are those of
`tests/judged/fields_further`, reported by `tests/bench/field_suggestions.py` and never looked into.
"""

from __future__ import annotations

import numpy as np
import pytest
from scipy.sparse import csr_array
from sklearn.datasets import load_iris
from sklearn.linear_model import LogisticRegression

from fightnotes.model import ACT_KEYS
from fightnotes.suggesting.outcome_model import fit
from tests.bench.field_suggestions import FURTHER, LEAST_PRECISION, answers, folds, judged, likelier_half, precision


@pytest.mark.parametrize("precision_of_prior", [0.5, 3.0])
def test_weights_are_those_of_scikit_learn(precision_of_prior: float) -> None:
    x, y = load_iris(return_X_y=True)
    evidence = np.hstack([x, np.ones((len(x), 1))]).astype(np.float32)
    ours = fit(csr_array(evidence), y, np.zeros((5, 3)), precision_of_prior)
    theirs = LogisticRegression(C=1 / precision_of_prior, fit_intercept=False, tol=1e-8, max_iter=2000)
    assert ours == pytest.approx(theirs.fit(evidence, y).coef_.T, abs=5e-3)


def test_the_likelier_half_is_right_of_hands_that_nothing_was_tuned_on() -> None:
    library = judged(FURTHER)
    found = answers(library, folds(library.notes, by_bout=True), tags=True)
    for key in ACT_KEYS:
        have = sum(bool(note.all_of(key)) for note in library.notes)
        half = likelier_half(found, key, have)
        assert len(half) * 2 >= have > 50, key
        assert precision(half) >= LEAST_PRECISION, key
