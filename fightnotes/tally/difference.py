"""Two counts held against each other: a ratio of rates, or a difference of shares, with its interval and p value.

Chance alone is widened as `fightnotes.tally.strata` tells of trends: by how much more the rounds of a side differ from
each other than a Poisson or binomial count would, and from `FEWEST_BOUTS` bouts on by how much whole bouts do,
whichever is more (quasi-likelihood: R. Wedderburn, Biometrika 61 (1974), 439-447).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import exp, inf, log

import numpy as np
from numpy.typing import NDArray
from scipy import stats

from fightnotes.tally.estimate import OUTSIDE, Estimate
from fightnotes.tally.proportion import difference_of_shares
from fightnotes.tally.rate import ratio_of_rates
from fightnotes.tally.so_many import so_many
from fightnotes.tally.strata import FEWEST_BOUTS, Floats, Spread
from fightnotes.tally.trend import FEWEST_EVENTS


@dataclass(frozen=True)
class Difference:
    """Of the first side against the other; both None where `too_few` says why."""

    effect: Estimate | None = None
    """Of rates the first over the other, of shares the first less the other."""
    p_value: float | None = None
    too_few: str | None = None


@dataclass(frozen=True, eq=False)
class Side:
    """What one side has in each round that was noted of it."""

    counts: Floats
    """(rounds,)"""
    of: Floats
    """(rounds,): exposures, or for a share how many the counts are of; above 0."""
    bouts: NDArray[np.intp]
    """(rounds,): the bout of each, from 0."""

    @property
    def count(self) -> int:
        return int(self.counts.sum())

    @property
    def total(self) -> float:
        return float(self.of.sum())

    def by_bout(self) -> Side:
        counts, of = (np.bincount(self.bouts, weights=each).astype(np.float64) for each in (self.counts, self.of))
        return Side(counts[of > 0], of[of > 0], np.flatnonzero(of > 0))


def difference_of_rates(first: Side, other: Side) -> Difference:
    """The ratio of two rates.

    Its p value by chance alone is twice the lesser tail of the binomial distribution that the first count has given
    both (J. Przyborowski, H. Wilenski, Biometrika 31 (1940), 313-323, from memory).
    """
    together = first.count + other.count
    if together < FEWEST_EVENTS:
        return Difference(too_few=f"{so_many(round(together), 'event')}, and {FEWEST_EVENTS} are needed")
    effect = ratio_of_rates(first.count, first.total, other.count, other.total)
    spread = _spread(first, other, lambda rate, of: rate * of)
    if effect is None or spread is None:
        return Difference(too_few="too few noted rounds")
    chance = stats.binom(together, first.total / (first.total + other.total))
    p_value = min(1.0, 2 * min(float(chance.cdf(first.count)), float(chance.sf(first.count - 1))))
    wider = spread.reach / float(stats.norm.isf(OUTSIDE))
    if 0 < effect.value < inf:
        low = effect.value * exp(wider * log(effect.low / effect.value)) if effect.low else 0.0
        high = effect.value * exp(wider * log(effect.high / effect.value)) if effect.high < inf else inf
        effect = Estimate(effect.value, low, high)
    return Difference(effect, _widened(p_value, spread))


def difference_of_successes(first: Side, other: Side) -> Difference:
    """The difference of two shares.

    Its p value by chance alone is that of Fisher's exact test (R. Fisher, Journal of the Royal Statistical Society 85
    (1922), 87-94).
    """
    of = int(first.total), int(other.total)
    if min(of) == 0 or sum(of) < FEWEST_EVENTS:
        return Difference(too_few=f"{of[0]} and {of[1]} with an outcome, and {FEWEST_EVENTS} are needed")
    effect = difference_of_shares(first.count, of[0], other.count, of[1])
    spread = _spread(first, other, lambda share, of: share * (1 - share) * of)
    if effect is None or spread is None:
        return Difference(too_few="too few noted rounds")
    table = [[first.count, of[0] - first.count], [other.count, of[1] - other.count]]
    wider = spread.reach / float(stats.norm.isf(OUTSIDE))
    low = max(-1.0, effect.value - wider * (effect.value - effect.low))
    high = min(1.0, effect.value + wider * (effect.high - effect.value))
    return Difference(Estimate(effect.value, low, high), _widened(float(stats.fisher_exact(table).pvalue), spread))


def _spread(first: Side, other: Side, variance: Callable[[float, Floats], Floats]) -> Spread | None:
    """None where no side has two rounds to hold against each other. `variance` is that by chance alone, of a rate or
    share in each round."""
    rounds = _dispersion((first, other), variance)
    if rounds is None:
        return None
    bouts = first.by_bout(), other.by_bout()
    whole = _dispersion(bouts, variance) if sum(len(side.of) for side in bouts) >= FEWEST_BOUTS else None
    return Spread((rounds,) if whole is None else (rounds, whole))


def _dispersion(sides: tuple[Side, Side], variance: Callable[[float, Floats], Floats]) -> tuple[float, int] | None:
    """Pearson's sum of squares over its degrees of freedom, at least 1, and these; a side without any count tells
    nothing."""
    squares, freedom = 0.0, 0
    for side in sides:
        expected = side.count / side.total
        chance = variance(expected, side.of)
        if (chance > 0).all():
            squares += float(((side.counts - expected * side.of) ** 2 / chance).sum())
            freedom += len(side.of) - 1
    return (max(1.0, squares / freedom), freedom) if freedom > 0 else None


def _widened(p_value: float, spread: Spread) -> float:
    return max(p_value, spread.p_value(float(stats.norm.isf(p_value / 2))))
