"""One reading of a clock, in each way in which people write it; which round it belongs to is said elsewhere.

A run of digits joined by `:`, `;`, `.` or `,`, with a colon first, is a time, a mistake, or plain text:

- a media time or a timecode: a time, also with `s` behind it (`0:58s`);
- with a letter, digit or underscore behind it (`4:052x`, `10:30am`), or before am or pm: plain text;
- with one colon and one digit after it (`3:1`, `16:9`, `3:1.5`): plain text, as ratios and scores are;
- anything else (`0:75`, `4:052`, `1:2:3`, `0:05,5`): a mistake, told with its place.

Other notations (common practice, no source): `:58`; units (`12m30s`, `1h02m`); primes (`1'10"`), but `5'11"` may be a
height; a point for the colon (`0.58`), which is a number unless something else says that a time is meant.
"""

import re
from dataclasses import dataclass
from fractions import Fraction

from .faults import ClockError
from .media_time import MediaTime, parse_media_time
from .timecode import Timecode, parse_timecode

_DIGITS = re.compile(r"[0-9]+(?:[:;.,][0-9]+)+")
RATIO = re.compile(r"[0-9]+:[0-9](?:[.,][0-9]+)?")
_WORD_GOES_ON = re.compile(
    r"(?!(?:ish|s|secs?)\b|_+(?!\w))\w| ?[ap]\.?m\b| ?(?:gmt|utc|ces?t|[bcep][sd]t|hrs|noon|midnight|o['’]clock|uhr)\b",
    re.IGNORECASE,
)
"""A word, or what makes a time of day; an underscore closes emphasis."""
_SECONDS_BEHIND = re.compile(r"(?:s| ?secs?)\b", re.IGNORECASE)
_SHORT = re.compile(r":(?P<s>[0-5][0-9])(?![0-9:.,]?\w)")
_UNITS = re.compile(
    r"(?:(?P<h>[0-9]{1,2}) ?h(?:rs?)? ?)?(?P<m>[0-9]{1,3}) ?m(?:ins?)? ?"
    r"(?P<s>[0-9]{1,2}(?:\.[0-9]{1,9})?) ?s(?:ecs?)?\b"
    r"|(?P<hours>[0-9]{1,2}) ?h ?(?P<minutes>[0-9]{2}) ?m(?:ins?)?\b"
    r"|(?P<tight>[0-9]{1,3})m(?P<two>[0-9]{2})(?!\w)",
    re.IGNORECASE,
)
_PRIMES = re.compile(
    r"(?P<m>[0-9]{1,3}) ?['’′‘] ?(?P<s>[0-9]{2})(?P<part>\.[0-9]{1,9})? ?(?:''|’’|′′|[\"”″“])?(?![\w'])(?!\.[0-9])"
)
_NO_UNIT = (
    r"(?! ?(?:cm|mm|m|metres?|meters?|kg|lbs?|km|miles?|ft|in|s|secs?|seconds?|minutes?|mins?|hours?|rounds?|per"
    r"|percent|points?|times|of|to 1|on the|[%€$£])(?!\w))"
)
_POINT = re.compile(rf"(?P<m>[0-9]{{1,3}})\.(?P<s>[0-9]{{2}})(?![\w%°]|[.,:;/][0-9]){_NO_UNIT}", re.IGNORECASE)
_DECIMAL = re.compile(rf"[0-9]{{1,3}}\.[0-9]{{1,3}}(?![\w%°]|[.,:;/][0-9]){_NO_UNIT}", re.IGNORECASE)
_TALL = re.compile(r" ?(?:tall|and|in (?:his|her|height)|reach|feet)\b", re.IGNORECASE)
_BARE = re.compile(r"(?P<n>[0-9]{1,3}) ?(?:(?P<s>s|secs?|seconds?)|m|mins?|minutes?)\b\.?", re.IGNORECASE)
_LEAST_HEIGHT, _MOST_HEIGHT, _INCHES = 4, 7, 11


@dataclass(frozen=True, slots=True)
class Habits:
    """What the rest of a file says about how its writer writes times."""

    points: bool = False
    """Whether `0.58` is 58 seconds."""
    primes: bool = False
    """Whether `5'11"` is a time, and no height."""


@dataclass(frozen=True, slots=True)
class Reading:
    stop: int
    time: MediaTime | Timecode


def read_reading(text: str, position: int, habits: Habits, certain: bool = False) -> Reading | None:
    """The reading that begins at `position`; None where plain text does.

    `certain` says that a time is meant, as behind a round: then a point counts as a colon.

    Raises ClockError, with `position`, for what is meant as a time and is none.
    """
    digits = digits_at(text, position)
    if digits is not None:
        return None if RATIO.fullmatch(digits) else _read_digits(text, digits, position)
    if match := _SHORT.match(text, position):
        return _reading(match, 0, 0, match["s"])
    if match := _UNITS.match(text, position):
        minutes = match["m"] or match["minutes"] or match["tight"]
        return _reading(match, match["h"] or match["hours"] or 0, minutes, match["s"] or match["two"] or 0)
    if match := _PRIMES.match(text, position):
        return _read_primes(text, match, habits)
    match = _POINT.match(text, position) if habits.points or certain else None
    return None if match is None else _reading(match, 0, match["m"], match["s"])


def _read_digits(text: str, digits: str, position: int) -> Reading:
    stop = position + len(digits)
    seconds = _SECONDS_BEHIND.match(text, stop)
    return Reading(seconds.end() if seconds else stop, parse_digits(digits, position))


def _read_primes(text: str, match: re.Match[str], habits: Habits) -> Reading:
    tall = not habits.primes or _TALL.match(text, match.end())
    if tall and is_height(match["m"], match["s"]):
        expected = f"{match['m']}:{match['s']}, if a time is meant; a word before it, if it is a height"
        raise ClockError(match[0].rstrip(), expected, match.start())
    return _reading(match, 0, match["m"], match["s"] + (match["part"] or ""))


def read_bare(text: str, position: int) -> Reading | None:
    """`40s`, `10 seconds` or `2 min`: a time only where something else says so."""
    match = _BARE.match(text, position)
    if match is None:
        return None
    return Reading(match.end(), MediaTime(Fraction(int(match["n"]) * (1 if match["s"] else 60))))


def read_point(text: str, position: int) -> re.Match[str] | None:
    """`0.58`, as a match with groups `m` and `s`, where no unit behind it makes it a number."""
    return _POINT.match(text, position)


def is_decimal(text: str, position: int) -> bool:
    """Whether a number with a point stands there, without a unit behind it."""
    return _DECIMAL.match(text, position) is not None


def read_primes(text: str, position: int) -> re.Match[str] | None:
    """`1'10"`, as a match with groups `m` and `s`."""
    return _PRIMES.match(text, position)


def is_height(feet: str, inches: str) -> bool:
    """Whether `5'11"` may be how tall somebody is."""
    return _LEAST_HEIGHT <= int(feet) <= _MOST_HEIGHT and int(inches) <= _INCHES


def digits_at(text: str, position: int) -> str | None:
    """The run of digits and marks at `position` that is to be judged: a colon first, no word behind it."""
    match = _DIGITS.match(text, position)
    if match is None or _WORD_GOES_ON.match(text, match.end()):
        return None
    digits = match[0]
    return digits if digits.lstrip("0123456789").startswith(":") else None


def parse_digits(digits: str, position: int) -> MediaTime | Timecode:
    """Raises ClockError, with `position`."""
    try:
        if ";" in digits or digits.count(":") > 2:
            return parse_timecode(digits)
        return MediaTime(parse_media_time(digits))
    except ClockError as error:
        raise ClockError(error.found, error.expected, position) from None


def _reading(match: re.Match[str], hours: str | int, minutes: str | int, seconds: str | int) -> Reading:
    found = match[0].rstrip()
    if Fraction(seconds) >= 60:
        raise ClockError(found, "seconds from 00 to 59", match.start())
    if int(hours) and int(minutes) > 59:
        raise ClockError(found, "minutes from 00 to 59 after hours", match.start())
    total = (int(hours) * 60 + int(minutes)) * 60 + Fraction(seconds)
    return Reading(match.start() + len(found), MediaTime(total))
