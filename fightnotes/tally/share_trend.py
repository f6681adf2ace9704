"""The trend of shares over ordered levels: Cochran and Armitage, and Mantel for strata."""

from __future__ import annotations

from math import hypot, sqrt

import numpy as np
from numpy.typing import ArrayLike

from fightnotes.tally.estimate import Estimate
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


def share_trend(levels: ArrayLike, counts: ArrayLike, of: ArrayLike, strata: ArrayLike | None = None) -> Trend:
    """Whether a share grows or falls, `counts` of `of` in each cell; `strata` as in `count_trend`.

    The line through the shares, one slope for all strata, and the test that it is level: W. Cochran, "Some methods for
    strengthening the common chi-square tests", Biometrics 10 (1954), 417-451; P. Armitage, "Tests for linear trends in
    proportions and frequencies", Biometrics 11 (1955), 375-386; with strata, N. Mantel, "Chi-square tests with one
    degree of freedom", Journal of the American Statistical Association 58 (1963), 690-700, whose variance (N / (N - 1)
    times Armitage's) is taken without them too. It is made greater as `fightnotes.tally.strata` tells. The line is cut
    at 0 and 1. ValueError where a count is above what it is of.
    """
    level, count, total = (np.asarray(each, dtype=np.float64) for each in (levels, counts, of))
    if (count > total).any() or (count < 0).any():
        raise ValueError("a count of more than there are is no share")
    seen = total > 0
    names = None if strata is None else np.asarray(strata)[seen]
    level, count, total = level[seen], count[seen], total[seen]
    too_few, lesser = too_few_levels(level), min(count.sum(), (total - count).sum())
    if too_few is None and lesser < FEWEST_EVENTS:
        too_few = f"{lesser:.0f} on one side, and {FEWEST_EVENTS} on each are needed"
    if too_few is not None:
        return Trend("share", too_few=too_few)
    return _trend(between_0_and_1(level), count, total, strata_of(names, level))


def _trend(level: Floats, count: Floats, total: Floats, strata: Strata) -> Trend:
    totals, counts = strata.sums(total), strata.sums(count)
    shares = counts / totals
    variances = np.divide(shares * (1 - shares) * totals, totals - 1, out=np.zeros_like(totals), where=totals > 1)
    away = level - (strata.sums(level * total) / totals)[strata.of]
    widths = strata.sums(total * away**2)
    told = (variances > 0) & strata.several
    freedom = int((strata.cells - 1)[told].sum()) - 1
    if freedom < 1:
        return Trend("share", too_few="too few levels within one bout")
    width, information = float(widths.sum()), float((variances * widths).sum())
    score = float((away * count).sum())
    slope = score / width
    distances = count - total * (shares[strata.of] + slope * away)
    inside = told[strata.of]
    squares = float((distances**2 / total)[inside] @ (1 / variances[strata.of][inside]))
    pulls = _pulls(distances, away, total, counts, strata) if len(told) == 1 or told.sum() >= FEWEST_BOUTS else None
    spread = spread_of(squares, freedom, pulls, information)
    mean, middle = float(counts.sum() / totals.sum()), float((level * total).sum() / totals.sum())
    around = spread.reach * sqrt(mean * (1 - mean) / totals.sum())
    reach = spread.reach * sqrt(information) / width

    def fitted(at: float) -> Estimate:
        apart = hypot(around, reach * (at - middle))
        if pulls is not None:
            apart = max(apart, pulls.reach(1 / totals.sum(), (at - middle) / width))
        return _cut(mean + slope * (at - middle), apart, 0.0)

    return Trend("share", fitted(0.0), fitted(1.0), _cut(slope, reach, -1.0), spread.p_value(score / sqrt(information)))


def _pulls(distances: Floats, away: Floats, total: Floats, counts: Floats, strata: Strata) -> Pulls:
    totals, pull = strata.sums(total), total * away**2 / float((total * away**2).sum())
    if len(totals) == 1:
        leverages = total / totals.sum() + pull
        return Pulls(beyond(away * distances, leverages), beyond(distances, leverages), freedom=len(total) - 2)
    of_all = totals / totals.sum()
    return Pulls(
        beyond(strata.sums(away * distances), strata.sums(pull)),
        beyond(counts - of_all * counts.sum(), of_all),
        freedom=int(strata.several.sum()) - 1,
    )


def _cut(value: float, apart: float, least: float) -> Estimate:
    return Estimate(*(float(np.clip(each, least, 1.0)) for each in (value, value - apart, value + apart)))
