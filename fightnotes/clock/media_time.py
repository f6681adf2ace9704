"""Media times: a place on the time base of a file, in exact seconds from its beginning."""

import re
from dataclasses import dataclass
from fractions import Fraction
from math import floor

from .faults import ClockError

_MEDIA_TIME = re.compile(r"([0-9]{1,9}):([0-9]{2})(?::([0-9]{2}))?(?:\.([0-9]{1,99}))?")
_DECIMAL_COMMA = re.compile(r"[0-9:]+,[0-9]+")
_MOST_DECIMALS = 3


@dataclass(frozen=True, slots=True)
class MediaTime:
    """A time on a file's own time base."""

    seconds: Fraction


def parse_media_time(text: str) -> Fraction:
    """Seconds of `m:ss` (minutes may pass 59) or `h:mm:ss`, either with a decimal part after a point.

    Seconds, and minutes after hours, take two digits. A decimal comma, as captions write it, is refused: in
    running text it cannot be told from punctuation.

    Raises ClockError for any other shape and for fields over 59 that do not lead.
    """
    match = _MEDIA_TIME.fullmatch(text)
    if match is None:
        if _DECIMAL_COMMA.fullmatch(text):
            raise ClockError(text, "a point, not a comma, before the decimal part")
        raise ClockError(text or "nothing", "a time such as 4:05, 1:04:05 or 4:05.5")
    first, second, third, decimals = match.groups()
    if third is None:
        hours, minutes, seconds = 0, int(first), int(second)
    else:
        hours, minutes, seconds = int(first), int(second), int(third)
        if minutes > 59:
            raise ClockError(text, "minutes from 00 to 59 after hours")
    if seconds > 59:
        raise ClockError(text, "seconds from 00 to 59")
    return (hours * 60 + minutes) * 60 + seconds + Fraction(f"0.{decimals or 0}")


def format_media_time(seconds: Fraction, decimals: int | None = None) -> str:
    """`m:ss` below an hour and `h:mm:ss` from there on, with a decimal part where it is wanted.

    `decimals` is the exact number of decimal places; None gives as few as show the time to the nearest
    millisecond. Half-way values round away from zero. A time below zero takes a minus sign, which no parser
    here reads back.
    """
    places = _MOST_DECIMALS if decimals is None else decimals
    scale = 10**places
    units = floor(abs(seconds) * scale + Fraction(1, 2))
    whole, part = divmod(units, scale)
    digits = f"{part:0{places}d}" if places else ""
    if decimals is None:
        digits = digits.rstrip("0")
    minutes, second = divmod(whole, 60)
    hours, minute = divmod(minutes, 60)
    sign = "-" if seconds < 0 and units else ""
    clock = f"{hours}:{minute:02d}:{second:02d}" if hours else f"{minute}:{second:02d}"
    return f"{sign}{clock}.{digits}" if digits else f"{sign}{clock}"


def format_range(start: Fraction | None, end: Fraction | None) -> str | None:
    """`m:ss`, or `m:ss-m:ss` where the end is another time; None without a start."""
    if start is None:
        return None
    shown = format_media_time(start)
    return shown if end is None or end == start else f"{shown}-{format_media_time(end)}"
