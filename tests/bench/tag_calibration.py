"""How far off the probabilities of hidden tags are, apart from chance.

Which tags are hidden is drawn several times over, and the pairs of all draws are judged together. In those draws a pair
either holds or does not: chance is what it would be if each held with the probability that is said, in all its draws or
in none.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from tests.bench.tag_folds import LEAST, Fold, Guess, calibration_error, guess_whole
from tests.bench.tag_hiding import SEED, hide
from tests.bench.tag_truth import Truth

DRAWS = 10
_SIMULATED = 200
_BY_CHANCE = 0.95


@dataclass(frozen=True)
class Calibration:
    """Of the pairs from LEAST up."""

    pairs: float
    """In each draw."""
    error: float
    """The expected calibration error."""
    chance: float
    """The error that right probabilities of these pairs exceed in one of twenty."""
    said: float
    """The mean probability."""
    true: float
    """The share of the pairs that is true."""

    def __str__(self) -> str:
        return (
            f"{self.pairs:5.0f} pairs, said {self.said:.3f}, true {self.true:.3f},"
            f" error {self.error:.3f}, right ones up to {self.chance:.3f}"
        )


def seeds(share: float, draws: int = DRAWS) -> range:
    """Of draws that hide other tags each; all hidden leave nothing to be drawn."""
    return range(SEED, SEED + (draws if share < 1 else 1))


def guess_draws(truth: Truth, folds: Sequence[Fold], way: str, share: float) -> list[Guess]:
    """The same notes in each."""
    return [guess_whole(truth, hide(truth.written, way, share, seed), folds, False) for seed in seeds(share)]


def calibration_over(guesses: Sequence[Guess]) -> Calibration:
    judged = [guess.counted & (guess.found >= LEAST) for guess in guesses]
    found = np.concatenate([guess.found[one] for guess, one in zip(guesses, judged, strict=True)]).astype(np.float64)
    true = np.concatenate([guess.true[one] for guess, one in zip(guesses, judged, strict=True)])
    pair = np.concatenate([np.flatnonzero(one) for one in judged])
    random = np.random.default_rng(SEED)
    size = guesses[0].found.size
    by_chance = [calibration_error(random.random(size)[pair] < found, found) for _ in range(_SIMULATED)]
    return Calibration(
        len(found) / len(guesses),
        calibration_error(true, found),
        float(np.quantile(by_chance, _BY_CHANCE)),
        float(found.sum() / max(len(found), 1)),
        float(true.sum() / max(len(true), 1)),
    )
