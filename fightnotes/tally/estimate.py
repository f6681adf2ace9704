"""A number with its interval, as every measure of this room gives it."""

from __future__ import annotations

from dataclasses import dataclass

OUTSIDE = 0.025
"""Of the true values, on each side of an interval: intervals are of 95 %."""


@dataclass(frozen=True)
class Estimate:
    value: float
    low: float
    high: float
    """`inf` where nothing bounds it, as with a ratio to a count of 0."""
