"""P values of many tests, adjusted for how many they are."""

from __future__ import annotations

from collections.abc import Sequence

from scipy import stats


def adjusted(p_values: Sequence[float | None]) -> list[float | None]:
    """P values that keep the share of false ones below the level they are held to, in the order given.

    Y. Benjamini, Y. Hochberg, "Controlling the false discovery rate", Journal of the Royal Statistical Society B 57
    (1995), 289-300. None is a test that was not made, for want of data: it stays None and counts for nothing.
    """
    made = [value for value in p_values if value is not None]
    found = iter(stats.false_discovery_control(made).tolist() if made else ())
    return [None if value is None else next(found) for value in p_values]
