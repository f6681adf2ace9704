"""How a number is written for a person."""

from __future__ import annotations

from math import floor, isinf, log10


def number(value: float) -> str:
    """Two figures that mean something, all where it has more, and no exponent: 0.034, 0.34, 3.4, 34, 341."""
    if isinf(value):
        return "∞"
    if value == 0 or abs(value) >= 10:
        return f"{value:.0f}"
    places = 1 - floor(log10(abs(value)))
    return f"{value:.{places}f}".rstrip("0").rstrip(".")
