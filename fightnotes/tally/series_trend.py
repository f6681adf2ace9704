"""The trend of a series of numbers: Mann and Kendall's test, and the line of Theil and Sen."""

from __future__ import annotations

from itertools import combinations

import numpy as np
from numpy.typing import ArrayLike
from scipy import stats

from fightnotes.tally.estimate import OUTSIDE, Estimate
from fightnotes.tally.strata import Floats
from fightnotes.tally.trend import FEWEST_VALUES, Trend, too_few_levels

_SHUFFLES = 9999
_FEW = 10
"""Values up to which ties are answered with shuffles: the normal approximation is good for more (measured)."""
_LINE_OF = 2000
"""Values of which the line is drawn at most, as it takes every two of them: of more, so many by lot."""
_SEED = 0


def series_trend(levels: ArrayLike, values: ArrayLike) -> Trend:
    """Whether numbers grow or fall with their levels; several may stand at one level.

    H. Mann, "Nonparametric tests against trend", Econometrica 13 (1945), 245-259; M. Kendall, "Rank correlation
    methods", 4th edition (1975): exact for few values without ties, by shuffles for few with ties, else normal with the
    variance corrected for ties. The effect is the slope of P. Sen, "Estimates of the regression coefficient based on
    Kendall's tau", Journal of the American Statistical Association 63 (1968), 1379-1389, over all levels; `first` and
    `last` stand on its line through the medians, and their intervals are those of the slope, about the middle. The test
    takes the values as independent of each other. ValueError where one of them is no finite number.
    """
    level, value = (np.asarray(each, dtype=np.float64) for each in (levels, values))
    if not (np.isfinite(level).all() and np.isfinite(value).all()):
        raise ValueError("a trend is of finite numbers")
    too_few = too_few_levels(level)
    if too_few is None and len(value) < FEWEST_VALUES:
        too_few = f"{len(value)} values, and {FEWEST_VALUES} are needed"
    if too_few is not None:
        return Trend("value", too_few=too_few)
    first, last, effect = _line(level, value)
    return Trend("value", first=first, last=last, effect=effect, p_value=_p_value(level, value))


def _p_value(level: Floats, value: Floats) -> float:
    ties = len(np.unique(level)) < len(level) or len(np.unique(value)) < len(value)
    if ties and len(value) <= _FEW:
        return _shuffled(level, value)
    found = float(stats.kendalltau(level, value).pvalue)
    return 1.0 if np.isnan(found) else found


def _shuffled(level: Floats, value: Floats) -> float:
    """The share of orders of the values in which Kendall's S is as far from 0, this one among them."""
    one, other = np.array(list(combinations(range(len(value)), 2))).T
    ordered = np.sign(level[other] - level[one])
    rows = np.random.default_rng(_SEED).permuted(np.tile(value, (_SHUFFLES, 1)), axis=1)
    shuffled = np.abs(np.sign(rows[:, other] - rows[:, one]) @ ordered)
    here = abs(float(np.sign(value[other] - value[one]) @ ordered))
    return float((1 + (shuffled >= here).sum()) / (1 + _SHUFFLES))


def _line(level: Floats, value: Floats) -> tuple[Estimate, Estimate, Estimate]:
    """At the lowest level, at the highest, and from the one to the other."""
    if len(value) > _LINE_OF:
        drawn = np.random.default_rng(_SEED).choice(len(value), _LINE_OF, replace=False)
        level, value = level[drawn], value[drawn]
    found = stats.theilslopes(value, level, alpha=2 * OUTSIDE)
    slopes = np.array([found.slope, found.low_slope, found.high_slope])
    middle, centre = float(np.median(level)), float(np.median(value))
    before, after = level.min() - middle, level.max() - middle
    down, low, high = (centre + slopes * before).tolist()
    up, least, most = (centre + slopes * after).tolist()
    change = (slopes * (after - before)).tolist()
    return Estimate(down, high, low), Estimate(up, least, most), Estimate(*change)
