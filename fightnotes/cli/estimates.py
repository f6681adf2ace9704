"""Numbers with their intervals, as a person reads them and as CSV has them."""

from __future__ import annotations

from collections.abc import Iterable
from math import isinf
from typing import TYPE_CHECKING, Any

from fightnotes.cli.layout import whole

if TYPE_CHECKING:
    from fightnotes.tally.estimate import Estimate
    from fightnotes.tally.figures import Figures

NOTHING = "-"
"""Where nobody looked, or nothing is known."""


def number(value: float) -> str:
    """Two figures that mean something: 0.034, 0.34, 3.4, 34, 340."""
    if isinf(value):
        return "∞"
    return f"{value:.0f}" if abs(value) >= 10 else f"{value:.2g}"


def estimate(value: Estimate | None) -> str:
    """`0.78 (0.46-1.2)`"""
    if value is None:
        return NOTHING
    return whole(f"{number(value.value)} ({number(value.low)}-{number(value.high)})")


def share(figures: Figures) -> str:
    """`9 of 14: 64 % (39-84 %)`, and how many came off in part."""
    if figures.success is None:
        return NOTHING
    told = f"{whole(f'{figures.succeeded} of {figures.with_outcome}:')} {percent(figures.success)}"
    return f"{told}, {figures.partial} partial" if figures.partial else told


def percent(value: Estimate | None) -> str:
    """`64 % (39-84 %)`"""
    if value is None:
        return NOTHING
    middle, low, high = (f"{100 * each:.0f}" for each in vars(value).values())
    return whole(f"{middle} % ({low}-{high} %)")


def times(value: Estimate | None) -> str:
    """A ratio: `2.1 times (1.2-3.9)`."""
    if value is None:
        return NOTHING
    return whole(f"{number(value.value)} times ({number(value.low)}-{number(value.high)})")


def points(value: Estimate | None) -> str:
    """A difference of shares in hundredths: `+26 (-3 to +51)`."""
    if value is None:
        return NOTHING
    middle, low, high = (f"{100 * each:+.0f}" for each in vars(value).values())
    return f"{middle} ({low} to {high})"


def p_value(value: float | None) -> str:
    if value is None:
        return NOTHING
    return whole("p < 0.001" if value < 0.001 else f"p {value:.2g}")


ESTIMATE_ENDS = ("", "_low", "_high")


def flat_estimates(row: dict[str, Any], keys: Iterable[str]) -> dict[str, Any]:
    """A row of JSON with each estimate as three columns: `key`, `key_low`, `key_high`."""
    flat = dict(row)
    for key in keys:
        told = flat.pop(key) or {"value": None, "low": None, "high": None}
        flat |= {f"{key}{end}": each for end, each in zip(ESTIMATE_ENDS, told.values(), strict=True)}
    return flat


def flat_columns(columns: Iterable[str], estimates: Iterable[str]) -> tuple[str, ...]:
    """Columns of which these are estimates."""
    of = set(estimates)
    return tuple(f"{column}{end}" for column in columns for end in (ESTIMATE_ENDS if column in of else ("",)))
