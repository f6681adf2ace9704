"""From evidence to a probability: one logistic regression for all concepts, drawn towards weights that are shipped.

A library with few tags keeps the shipped weights, one with many may have its own (`learn`). The shipped ones
(`default_weights`) were fitted by `python -m tests.bench.tagging --weights` on the demo library, with its tags left out
in several ways and shares.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from scipy.optimize import minimize
from scipy.special import expit

from fightnotes.suggesting.evidence import KINDS
from fightnotes.suggesting.examples import Matrix
from fightnotes.suggesting.material import Flags

Doubles = npt.NDArray[np.float64]

THRESHOLD = 0.5
"""Below this probability nothing is suggested."""
PRIOR_PRECISION = 30.0
"""Precision of the normal prior around the starting weights."""


@dataclass(frozen=True)
class Weights:
    """The log-odds are the bias and, for each kind of evidence, weight * (evidence - centre) / scale."""

    kinds: tuple[str, ...]
    centre: Doubles
    scale: Doubles
    weight: Doubles
    bias: float

    def probabilities(self, evidence: Matrix) -> Matrix:
        """Shape (segments, concepts), from evidence of shape (len(KINDS) or fewer, segments, concepts)."""
        odds = np.full(evidence.shape[1:], self.bias - float(self.weight / self.scale @ self.centre), dtype=np.float32)
        for kind, factor in zip(self.kinds, self.weight / self.scale, strict=True):
            odds += np.float32(factor) * evidence[KINDS.index(kind)]
        found: Matrix = expit(odds)
        return found


def start_weights(evidence: Matrix, kinds: tuple[str, ...]) -> Weights:
    """Weights of nothing, with centre and scale taken from the evidence."""
    rows = [evidence[KINDS.index(kind)] for kind in kinds]
    centre = np.array([row.mean() for row in rows], dtype=np.float64)
    scale = np.array([max(float(row.std()), 1e-6) for row in rows])
    return Weights(kinds, centre, scale, np.zeros(len(kinds)), 0.0)


def fit(
    evidence: Matrix, wanted: Matrix | Flags, sample_weights: Matrix, start: Weights, precision: float = PRIOR_PRECISION
) -> Weights:
    """The weights of the greatest posterior probability, with a normal prior around `start`.

    `wanted` and `sample_weights`, of shape (segments, concepts), say how probable each pair is and how much it counts
    (0: not at all). A kind that is the same for all pairs teaches nothing, and keeps its weight.
    """
    use = sample_weights > 0
    x = np.stack([evidence[KINDS.index(kind)][use] for kind in start.kinds], axis=1).astype(np.float64)
    x = np.where(np.ptp(x, axis=0) > 0, (x - start.centre) / start.scale, 0)
    x = np.column_stack([x, np.ones(len(x))])
    y = wanted[use].astype(np.float64)
    weight = sample_weights[use].astype(np.float64)
    origin = np.append(start.weight, start.bias)

    def loss(weights: Doubles) -> tuple[float, Doubles]:
        odds = x @ weights
        away = weights - origin
        value = weight @ (np.logaddexp(0, odds) - y * odds) + precision / 2 * away @ away
        return float(value), x.T @ (weight * (expit(odds) - y)) + precision * away

    def curvature(weights: Doubles) -> Doubles:
        chance = expit(x @ weights)
        bent: Doubles = x.T @ ((weight * chance * (1 - chance))[:, None] * x) + precision * np.eye(len(origin))
        return bent

    # Newton's steps: some seven, where the gradient alone takes forty. The precision bounds the error by gtol over it.
    found = minimize(loss, origin, jac=True, hess=curvature, method="trust-exact", options={"gtol": 1e-5})
    return Weights(start.kinds, start.centre, start.scale, found.x[:-1], float(found.x[-1]))
