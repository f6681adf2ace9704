"""Numbers in a sentence, each with its 95 % interval."""

from __future__ import annotations

from math import isinf

from fightnotes.tally.estimate import Estimate
from fightnotes.tally.figures import Figures

FEWEST = 5
"""Acts, or acts with an outcome, below which nothing is claimed of them: common practice, no source. Trends and
comparisons have limits of their own (`tally/trend`, `tally/difference`)."""


def number(value: float) -> str:
    """Two figures that mean something: 0.034, 0.34, 3.4, 34, 340."""
    if isinf(value):
        return "∞"
    return f"{value:.0f}" if abs(value) >= 10 else f"{value:.2g}"


def spanned(value: Estimate) -> str:
    """`0.78 (0.46-1.2)`"""
    return f"{number(value.value)} ({number(value.low)}-{number(value.high)})"


def percent(value: Estimate) -> str:
    """`64 % (39-84 %)`"""
    middle, low, high = (f"{100 * each:.0f}" for each in vars(value).values())
    return f"{middle} % ({low}-{high} %)"


def points(value: Estimate) -> str:
    """A difference of shares in hundredths: `+26 (-3 to +51)`."""
    middle, low, high = (f"{100 * each:+.0f}" for each in vars(value).values())
    return f"{middle} ({low} to {high})"


def success(figures: Figures) -> str:
    """`9 of 14: 64 % (39-84 %), 1 in part`; nothing where no outcome is noted."""
    if figures.success is None:
        return ""
    partly = f", {figures.partial} in part" if figures.partial else ""
    return f"{figures.succeeded} of {figures.with_outcome}: {percent(figures.success)}{partly}"


def p_value(value: float) -> str:
    return "p < 0.001" if value < 0.001 else f"p {value:.2g}"


def so_many(count: int, what: str) -> str:
    return f"{count} {what}" if count == 1 else f"{count} {what}s"


def begun(text: str) -> str:
    """As a sentence begins."""
    return text[:1].upper() + text[1:]
