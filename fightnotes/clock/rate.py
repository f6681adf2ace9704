"""Frame rates: exact fractions of frames a second."""

import re
from fractions import Fraction
from math import floor

from .faults import ClockError

# SMPTE ST 12-1 counts drop-frame at these two rates, over 1001.
_DROP_NUMERATORS = (30000, 60000)
# Counts whose 1000/1001 rates are in use and are written as rounded decimals: 23.98 for 24000/1001.
_SLOWED_COUNTS = (24, 30, 48, 60, 120)
_HIGHEST = 1000
_PLACES_COMPARED = 9  # a float's own last digits are noise
_EXPECTED = f"a frame rate over 0 and at most {_HIGHEST}, such as 25, 29.97 or 30000/1001"
_RATE = re.compile(r"([0-9]{1,9})(?:/([0-9]{1,9})|\.([0-9]{1,30}))?")


def parse_rate(value: str | int | float | Fraction) -> Fraction:
    """Frames a second, from what a person or a YAML reader wrote.

    A decimal with two places or more that is 1000/1001 of 24, 30, 48, 60 or 120, rounded or cut to those
    places (the first nine of them), means that fraction: "29.97" is 30000/1001, "23.976" and "23.98" are
    24000/1001.

    Raises ClockError for what is no rate, is not above 0 or is above 1000.
    """
    written = str(value).strip()
    match = _RATE.fullmatch(written)
    if match is None:
        raise ClockError(written or "nothing", _EXPECTED)
    whole, divisor, decimals = match.groups()
    if divisor is not None and int(divisor) == 0:
        raise ClockError(written, _EXPECTED)
    if decimals is None:
        rate = Fraction(int(whole), int(divisor or 1))
    else:
        rate = _slowed(Fraction(f"{whole}.{decimals}"), len(decimals))
    if not 0 < rate <= _HIGHEST:
        raise ClockError(written, _EXPECTED)
    return rate


def _slowed(rate: Fraction, places: int) -> Fraction:
    """The 1000/1001 rate that `rate` abbreviates at so many decimal places, else `rate` itself."""
    if places < 2:
        return rate
    scale = 10 ** min(places, _PLACES_COMPARED)
    given = floor(rate * scale + Fraction(1, 2))
    for count in _SLOWED_COUNTS:
        exact = Fraction(count * 1000, 1001)
        cut, rounded = floor(exact * scale), floor(exact * scale + Fraction(1, 2))
        if given in (cut, rounded):
            return exact
    return rate


def nominal(rate: Fraction) -> int:
    """Frames counted in a timecode second: the whole number nearest to `rate` (30000/1001: 30), never 0."""
    return max(1, (2 * rate.numerator + rate.denominator) // (2 * rate.denominator))


def drop_allowed(rate: Fraction) -> bool:
    """Whether drop-frame counting is defined at `rate`: 30000/1001 and 60000/1001 only (SMPTE ST 12-1)."""
    return rate.denominator == 1001 and rate.numerator in _DROP_NUMERATORS
