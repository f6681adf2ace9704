"""The trend of counts over ordered levels: Poisson, log-linear, with exposure."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from math import exp, hypot, inf, log, sqrt

import numpy as np
from numpy.typing import ArrayLike
from scipy.optimize import brentq

from fightnotes.tally.estimate import Estimate
from fightnotes.tally.so_many import so_many
from fightnotes.tally.strata import (
    FEWEST_BOUTS,
    Floats,
    Pulls,
    Strata,
    between_0_and_1,
    beyond,
    spread_of,
    strata_of,
)
from fightnotes.tally.trend import FEWEST_EVENTS, Trend, too_few_levels

_STEEPEST = 30.0
"""Logarithm of the last rate over the first that stands for infinity: e to the 30th is 10 million million."""
_OVERFLOW = 700.0
"""A little below the greatest power of e that a float holds."""


def count_trend(levels: ArrayLike, counts: ArrayLike, exposures: ArrayLike, strata: ArrayLike | None = None) -> Trend:
    """Whether the rate of events grows or falls, from one entry a cell in each argument.

    `exposures` are minutes, or what else the rates are to be for; a cell without any is left out. `strata` names the
    bout of each cell where bouts span several levels, as with rounds; without it each cell is a bout of its own, as
    with days. The rate is exp(its stratum's constant + slope * level); the score test and interval of the slope are
    those given what each stratum counts, with the variance that `fightnotes.tally.strata` tells of. `first` and `last`
    are rates of all strata together. ValueError where something was counted without exposure.
    """
    level, count, exposure = (np.asarray(each, dtype=np.float64) for each in (levels, counts, exposures))
    if ((exposure == 0) & (count > 0)).any() or (exposure < 0).any() or (count < 0).any():
        raise ValueError("a count without exposure has no rate")
    seen = exposure > 0
    names = None if strata is None else np.asarray(strata)[seen]
    level, count, exposure = level[seen], count[seen], exposure[seen]
    too_few = too_few_levels(level)
    if too_few is None and count.sum() < FEWEST_EVENTS:
        too_few = f"{so_many(round(count.sum()), 'event')}, and {FEWEST_EVENTS} are needed"
    if too_few is not None:
        return Trend("rate", too_few=too_few)
    return _Cells(between_0_and_1(level), count, exposure, strata_of(names, level)).trend()


@dataclass(frozen=True)
class _Cells:
    level: Floats
    """From 0 to 1, so that the slope is the logarithm of the last rate over the first."""
    count: Floats
    exposure: Floats
    strata: Strata

    def trend(self) -> Trend:
        told = (self.totals > 0) & self.strata.several
        freedom = int((self.strata.cells - 1)[told].sum()) - 1
        if freedom < 1:
            return Trend("rate", too_few="too few levels within one bout")
        fitted = self.slope_where(0.0)
        bound = _bounded(fitted)
        expected = self.expected(bound)
        squares = np.divide((self.count - expected) ** 2, expected, out=np.zeros_like(expected), where=expected > 0)
        steady = fitted == bound and (len(told) == 1 or told.sum() >= FEWEST_BOUTS)
        pulls = self.pulls(fitted) if steady else None
        spread = spread_of(float(squares.sum()), freedom, pulls, self.information(bound))
        lowest, highest = self.slope_where(spread.reach), self.slope_where(-spread.reach)
        around = spread.reach / sqrt(self.count.sum())
        first = self.rate(0.0, fitted, highest, lowest, around, pulls)
        last = self.rate(1.0, fitted, lowest, highest, around, pulls)
        effect = Estimate(*(_exp(slope) for slope in (fitted, lowest, highest)))
        return Trend("rate", first, last, effect, spread.p_value(self.standard_score(0.0)))

    @cached_property
    def totals(self) -> Floats:
        return self.strata.sums(self.count)

    def weights(self, slope: float) -> Floats:
        """Exposures as the slope weighs them, about the middle."""
        return np.asarray(self.exposure * np.exp(slope * (self.level - 0.5)), dtype=np.float64)

    def expected(self, slope: float) -> Floats:
        """Counts of cells, given what their stratum counts."""
        weights = self.weights(slope)
        return weights * (self.totals / self.strata.sums(weights))[self.strata.of]

    def away(self, expected: Floats) -> Floats:
        """How far each cell's level is from the middle of what its stratum counts."""
        sums = self.strata.sums(self.level * expected)
        middles = np.divide(sums, self.totals, out=np.zeros_like(sums), where=self.totals > 0)
        return self.level - middles[self.strata.of]

    def information(self, slope: float) -> float:
        expected = self.expected(slope)
        return float((expected * self.away(expected) ** 2).sum())

    def standard_score(self, slope: float) -> float:
        score = float((self.level * (self.count - self.expected(slope))).sum())
        return score / sqrt(self.information(slope))

    def slope_where(self, score: float) -> float:
        """The slope at which the standard score, which falls as the slope grows, is `score`; infinite where none is."""
        if self.standard_score(-_STEEPEST) <= score:
            return -inf
        if self.standard_score(_STEEPEST) >= score:
            return inf
        return float(brentq(lambda slope: self.standard_score(slope) - score, -_STEEPEST, _STEEPEST, xtol=1e-10))

    def pulls(self, slope: float) -> Pulls:
        expected, information, sums = self.expected(slope), self.information(slope), self.strata.sums
        away, distances = self.away(expected), self.count - expected
        pull = expected * away**2 / information
        if len(self.totals) == 1:
            leverages = expected / self.count.sum() + pull
            return Pulls(beyond(away * distances, leverages), beyond(distances, leverages), freedom=len(self.count) - 2)
        weights = sums(self.weights(slope))
        of_all = weights / weights.sum()
        return Pulls(
            beyond(sums(away * distances), sums(pull)),
            beyond(self.totals - of_all * self.count.sum(), of_all),
            freedom=int((self.strata.several & (self.totals > 0)).sum()) - 1,
        )

    def rate(
        self, level: float, slope: float, for_low: float, for_high: float, around: float, pulls: Pulls | None
    ) -> Estimate:
        """The rate of all strata together at a level, 0 or 1, and at the slopes that make it least and greatest.

        The distances that the slope and the rate of all together give, squared and added (G. Zou, A. Donner,
        "Construction of confidence limits about effect measures", Statistics in Medicine 27 (2008), 1693-1702), or that
        which the bouts give, where it is more.
        """
        value, low, high = (self._rate_at(level, each) for each in (slope, for_low, for_high))
        if value == 0:
            return Estimate(0.0, 0.0, high * _exp(around))
        reach = 0.0
        if pulls is not None:
            weights = self.weights(slope)
            middle = float((weights * self.level).sum() / weights.sum())
            reach = pulls.reach(1 / self.count.sum(), (level - middle) / self.information(slope))
        down = max(hypot(log(value / low), around), reach) if low else inf
        up = max(hypot(log(high / value), around), reach)
        return Estimate(value, value * exp(-down), value * _exp(up))

    def _rate_at(self, level: float, slope: float) -> float:
        """All that was counted, over all exposure as the slope weighs it against this level."""
        if slope == (-inf if level else inf):
            return 0.0
        weighed = self.exposure * np.exp(_bounded(slope) * (self.level - level))
        return float(self.count.sum() / weighed.sum())


def _bounded(slope: float) -> float:
    return max(-_STEEPEST, min(slope, _STEEPEST))


def _exp(power: float) -> float:
    return exp(power) if power < _OVERFLOW else inf
