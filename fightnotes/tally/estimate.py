"""A number with its interval, as every measure of this room gives it."""

from __future__ import annotations

from dataclasses import dataclass

from fightnotes.pages.numbers import number

OUTSIDE = 0.025
"""Of the true values, on each side of an interval: intervals are of 95 %."""


@dataclass(frozen=True)
class Estimate:
    value: float
    low: float
    high: float
    """`inf` where nothing bounds it, as with a ratio to a count of 0."""

    def __str__(self) -> str:
        """`0.78 (0.46-1.2)`"""
        return f"{number(self.value)} ({number(self.low)}-{number(self.high)})"

    @property
    def times(self) -> str:
        """Of a ratio: `2.1 times (1.2-3.9)`."""
        return f"{number(self.value)} times ({number(self.low)}-{number(self.high)})"

    @property
    def percent(self) -> str:
        """Of a share: `64 % (39-84 %)`."""
        return f"{100 * self.value:.0f} % ({100 * self.low:.0f}-{100 * self.high:.0f} %)"

    @property
    def points(self) -> str:
        """Of a difference of shares, in hundredths: `+26 (-3 to +51)`."""
        return f"{100 * self.value:+.0f} ({100 * self.low:+.0f} to {100 * self.high:+.0f})"


def p_value(value: float | None) -> str:
    """`p 0.03`; nothing where none is known."""
    if value is None:
        return ""
    return "p < 0.001" if value < 0.001 else f"p {value:.2g}"
