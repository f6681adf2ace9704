"""Values that settings, saved cut lists, commands and links write alike: seconds, handles, places, rounds."""

from __future__ import annotations

import re
from fractions import Fraction

from fightnotes.clock import parse_media_time
from fightnotes.model import Handles
from fightnotes.reading.placed_yaml import Item, Reporter, mapping_of, parsed

SECONDS = "seconds, such as 2, 1.5, 5/3 or 0:02, at most 100 hours"
"""What `seconds_of` expects."""
LENGTH = "a length above zero in seconds, such as 12 or 0:12, at most 100 hours"
"""What `length_of` expects."""
ROUND = r"[1-9][0-9]{0,2}"
"""A round's number, as a pattern: bells are worked out for as many."""

_MOST_SECONDS = 100 * 60 * 60
_FINEST = 10**9
_LAST_ROUND = 9999
"""Beyond any bout, and short of what the store cannot hold."""
_NUMBER = re.compile(r"[0-9]{1,15}(?:\.[0-9]{1,9}|/(?!0+$)[0-9]{1,10})?")
"""No exponent: a few characters of one make a number that takes hours to work out."""
_PLACE = re.compile(r"(?P<file>.+):(?P<line>[0-9]{1,9})", re.DOTALL)
_LEADING_ZEROS = re.compile(rf"0*({ROUND})")


def seconds_of(text: str) -> Fraction:
    """Seconds from `2`, `1.5`, `5/3`, `m:ss` or `h:mm:ss`, not below 0, in whole parts of at most 10^9 to a second.

    Raises ValueError for anything else and over 100 hours.
    """
    seconds = Fraction(text) if _NUMBER.fullmatch(text) else parse_media_time(text)
    if seconds > _MOST_SECONDS or seconds.denominator > _FINEST:
        raise ValueError(text)
    return seconds


def length_of(text: str) -> Fraction:
    """Seconds as `seconds_of` reads them, above 0. Raises ValueError."""
    seconds = seconds_of(text)
    if seconds == 0:
        raise ValueError(text)
    return seconds


def written_seconds(seconds: Fraction) -> int | float | str:
    """As a person writes them in YAML, and as `seconds_of` reads them: `2`, `1.5`, or `5/3` where that is exact."""
    if seconds.denominator == 1:
        return int(seconds)
    number = float(seconds)
    return number if _NUMBER.fullmatch(str(number)) and Fraction(str(number)) == seconds else str(seconds)


def handles_from(item: Item | None, default: Handles, reporter: Reporter) -> Handles:
    """Those given; each that is not, or that is reported, as in `default`."""
    known = mapping_of(item, Handles.model_fields, reporter) if item else {}
    given = {key: parsed(value, seconds_of, SECONDS, reporter) for key, value in known.items()}
    return default.model_copy(update={key: seconds for key, seconds in given.items() if seconds is not None})


def place_of(text: str) -> tuple[str, int]:
    """File and line, from 1, from `file:line`. Raises ValueError for anything else."""
    match = _PLACE.fullmatch(text)
    if match is None or int(match["line"]) < 1:
        raise ValueError(text)
    return match["file"], int(match["line"])


def round_of(text: str) -> int:
    """A round's number, or how many there are, from 1 to 999. Raises ValueError."""
    match = _LEADING_ZEROS.fullmatch(text)
    if match is None:
        raise ValueError(text)
    return int(match[1])


def rounds_of(text: str) -> tuple[int, int]:
    """First and last round of those that are meant, from `3` or `1-4`. Raises ValueError for anything else."""
    first, _, last = text.partition("-")
    last = last or first
    if not (first.isdecimal() and last.isdecimal() and 1 <= int(first) <= int(last) <= _LAST_ROUND):
        raise ValueError(text)
    return int(first), int(last)
