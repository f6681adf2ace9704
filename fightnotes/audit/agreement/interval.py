"""A coefficient with its bootstrap interval, or the reason why there is none."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from fightnotes.audit.agreement.coefficients import Floats
from fightnotes.audit.agreement.models import Agreement

FEWEST = 10
"""Units below which no number is given. Common practice, no source."""
MOST_UNDEFINED = 0.05
"""Share of resamples that may be undefined, as those are in which nothing varies."""
SEED = 0
RESAMPLES = 1000

Statistic = Callable[[Floats], Floats]
"""(resamples, units), how often each unit counts -> (resamples,); nan where undefined."""


def resample(units: int) -> Floats:
    """(RESAMPLES, units): how often each unit is drawn when as many are drawn with replacement."""
    if not units:
        return np.zeros((RESAMPLES, 0))
    drawn = np.random.default_rng(SEED).multinomial(units, np.full(units, 1 / units), size=RESAMPLES)
    return drawn.astype(np.float64)


def estimate(statistic: Statistic, weights: Floats, counted: str) -> Agreement:
    """The statistic over all units, with its 95 % percentile interval over `weights` of `resample`.

    `counted` is the plural of what a unit is. Units are drawn, not single values: A. Zapf et al.,
    "Measuring inter-rater reliability for nominal data", BMC Medical Research Methodology 16 (2016),
    which finds this bootstrap to hold for alpha; percentiles: B. Efron, R. Tibshirani, "An
    introduction to the bootstrap" (1993), chapter 13.
    """
    units = weights.shape[1]
    if units < FEWEST:
        return Agreement(count=units, reason=f"too few {counted}: {units}, and {FEWEST} are needed")
    value = float(statistic(np.ones((1, units)))[0])
    if np.isnan(value):
        return Agreement(count=units, reason=f"no variation over {units} {counted}")
    values = statistic(weights)
    defined = values[~np.isnan(values)]
    if len(defined) < (1 - MOST_UNDEFINED) * len(values):
        return Agreement(count=units, reason=f"too little variation over {units} {counted}")
    low, high = np.percentile(defined, (2.5, 97.5))
    return Agreement(value=value, low=float(low), high=float(high), count=units)
