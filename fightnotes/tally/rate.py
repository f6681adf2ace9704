"""Rates: so many in so much time, or in so many rounds.

The intervals take a count as Poisson. Counts of several bouts that differ vary by more, and these intervals then hold
less than they say; `fightnotes.tally.trend` allows for it.
"""

from __future__ import annotations

from math import inf

from scipy import stats

from fightnotes.tally.estimate import OUTSIDE, Estimate


def rate(count: int, exposure: float) -> Estimate | None:
    """`count` for each unit of `exposure` with its exact 95 % interval; None where the exposure is 0.

    F. Garwood, "Fiducial limits for the Poisson distribution", Biometrika 28 (1936), 437-442. ValueError where
    something was counted without exposure, or one of them is below 0.
    """
    _check(count, exposure)
    if exposure == 0:
        return None
    low, high = poisson_interval(count)
    return Estimate(count / exposure, low / exposure, high / exposure)


def poisson_interval(count: int) -> tuple[float, float]:
    """The exact 95 % interval of the mean of a Poisson count (Garwood 1936)."""
    low = float(stats.chi2.ppf(OUTSIDE, 2 * count)) / 2 if count else 0.0
    return low, float(stats.chi2.isf(OUTSIDE, 2 * count + 2)) / 2


def ratio_of_rates(count: int, exposure: float, other_count: int, other_exposure: float) -> Estimate | None:
    """The first rate over the other with its exact 95 % interval; None where both count 0 or one has no exposure.

    Given both counts together, the first is binomial, and its exact interval (C. Clopper, E. Pearson, Biometrika 26
    (1934), 404-413) is one of the ratio: J. Przyborowski, H. Wilenski, Biometrika 31 (1940), 313-323 (from memory).
    `inf` where the other count is 0. ValueError as for `rate`.
    """
    _check(count, exposure)
    _check(other_count, other_exposure)
    together = count + other_count
    if together == 0 or exposure == 0 or other_exposure == 0:
        return None
    part = stats.binomtest(count, together).proportion_ci(method="exact")

    def ratio(of_both: float) -> float:
        return of_both / (1 - of_both) * other_exposure / exposure if of_both < 1 else inf

    return Estimate(ratio(count / together), ratio(float(part.low)), ratio(float(part.high)))


def _check(count: int, exposure: float) -> None:
    if count < 0 or exposure < 0 or (count and not exposure):
        raise ValueError(f"{count} in {exposure} is no rate")
