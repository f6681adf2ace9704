"""Shares: so many of so many."""

from __future__ import annotations

from math import hypot

from scipy import stats

from fightnotes.tally.estimate import Estimate


def share(count: int, of: int) -> Estimate | None:
    """`count` of `of` with its 95 % score interval; None of nothing.

    E. Wilson, "Probable inference, the law of succession, and statistical inference", Journal of the American
    Statistical Association 22 (1927), 209-212. ValueError where the count is below 0 or above `of`.
    """
    if not 0 <= count <= of:
        raise ValueError(f"{count} of {of} is no share")
    if of == 0:
        return None
    interval = stats.binomtest(count, of).proportion_ci(method="wilson")
    return Estimate(count / of, float(interval.low), float(interval.high))


def difference_of_shares(count: int, of: int, other_count: int, other_of: int) -> Estimate | None:
    """The first share less the other with its 95 % interval; None where one of them is of nothing.

    Of each share the Wilson interval, and the distances to its ends squared and added: method 10 of R. Newcombe,
    "Interval estimation for the difference between independent proportions", Statistics in Medicine 17 (1998), 873-890.
    """
    first, other = share(count, of), share(other_count, other_of)
    if first is None or other is None:
        return None
    difference = first.value - other.value
    down = hypot(first.value - first.low, other.high - other.value)
    up = hypot(first.high - first.value, other.value - other.low)
    return Estimate(difference, difference - down, difference + up)
