"""`hh:mm:ss` with milliseconds, as caption formats write times."""

from __future__ import annotations

from fractions import Fraction

from fightnotes.clock import nearest_frame


def stamp(seconds: Fraction, mark: str) -> str:
    """To the nearest millisecond, which at up to 500 frames a second still tells each frame; at least two digits
    of hours."""
    thousandths = nearest_frame(seconds, Fraction(1000))
    whole, rest = divmod(thousandths, 1000)
    minutes, second = divmod(whole, 60)
    hours, minute = divmod(minutes, 60)
    return f"{hours:02d}:{minute:02d}:{second:02d}{mark}{rest:03d}"
