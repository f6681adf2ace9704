"""Times and ranges where they stand in a text, as tokens that carry offsets.

A run of digits joined by `:`, `;`, `.` or `,`, with a colon first, is a time, a mistake, or plain text:

- a media time, a timecode, or behind `R` and a number a round clock: a time;
- with a letter, digit or underscore behind it (`4:052x`, `10:30am`), or before am or pm: plain text;
- with one colon and one digit after it (`3:1`, `16:9`, `3:1.5`): plain text, as ratios and scores are;
- anything else (`0:75`, `4:052`, `1:2:3`, `0:05,5`): a mistake, told with its place.

A round clock says plainly that a time is meant, so that `R4 0:5` is a mistake too; so does a dash without a
space after it, so that `0:05-12` is one.
"""

import re
from dataclasses import dataclass

from .faults import ClockError
from .media_time import MediaTime, parse_media_time
from .rounds import RoundClock
from .timecode import Timecode, parse_timecode

Time = MediaTime | Timecode | RoundClock

_DIGITS = re.compile(r"[0-9]+(?:[:;.,][0-9]+)+")
_RATIO = re.compile(r"[0-9]+:[0-9](?:[.,][0-9]+)?")
_WORD_GOES_ON = re.compile(r"\w| ?[ap]\.?m\b", re.IGNORECASE)
_ROUND = re.compile(r"[Rr]([0-9]{1,9})([^\S\r\n]*)(?=[0-9:])")
_RANGE = re.compile(r"[^\S\r\n]*[-\N{EN DASH}](?P<space>[^\S\r\n]*)|[^\S\r\n]+to[^\S\r\n]+")
_NUMBER = re.compile(r"[0-9]\S*")


@dataclass(frozen=True, slots=True)
class TimeToken:
    """One time in a text: `text[begin:stop]`."""

    begin: int
    stop: int
    time: Time


@dataclass(frozen=True, slots=True)
class SpanToken:
    """A time, or a range of two times, in a text: `text[begin:stop]`."""

    begin: int
    stop: int
    start: Time
    end: Time | None
    """The second time of a range, of the same kind as the first; None where one time stands alone."""


def read_time(text: str, position: int = 0) -> TimeToken | None:
    """The time that begins at `position`; None where plain text does.

    `m:ss` and `h:mm:ss` with or without a decimal part, `hh:mm:ss:ff`, `hh:mm:ss;ff`, or `R4 0:05` with a
    space or more between. The text before `position` is not looked at.

    Raises ClockError, with `position`, for what is meant as a time and is none.
    """
    mark = _ROUND.match(text, position)
    if mark is not None:
        return _read_round_clock(text, mark)
    digits = _read_digits(text, position)
    if digits is None or _RATIO.fullmatch(digits):
        return None
    return TimeToken(position, position + len(digits), _parse_digits(digits, position))


def read_span(text: str, position: int = 0) -> SpanToken | None:
    """The time or range that begins at `position`; None where plain text does.

    Between two times stands `-`, an en dash, or `to` with spaces around it. Behind a round clock the second
    time may leave the round out. A dash or `to` that leads to no time is plain text behind a time that stands
    alone. Whether the second time comes after the first depends on the way the clock runs, and is not judged
    here.

    Raises ClockError, with `position`, for a broken time, for two times of different kinds (media time, round
    clock, drop-frame and non-drop timecode), and for a dash with a digit right behind it that begins no time.
    """
    start = read_time(text, position)
    if start is None:
        return None
    separator = _RANGE.match(text, start.stop)
    end = read_time(text, separator.end()) if separator is not None else None
    if separator is not None and end is None and separator["space"] == "":
        number = _NUMBER.match(text, separator.end())
        if number is not None:
            raise ClockError(number[0], "a time behind the dash, or a space before a number", number.start())
    if end is None:
        return SpanToken(start.begin, start.stop, start.time, None)
    return SpanToken(start.begin, end.stop, start.time, _end_of_range(text, start, end))


def parse_time(text: str) -> Time:
    """The one time that `text` is, but for white space around it. Raises ClockError for anything else."""
    bare = text.strip()
    token = read_time(bare)
    if token is None or token.stop != len(bare):
        raise ClockError(bare or "nothing", "a time such as 4:05, 1:04:05.5, 01:04:05:12 or R4 0:05")
    return token.time


def _read_digits(text: str, position: int) -> str | None:
    """The run of digits and marks at `position` that is to be judged: a colon first, no word behind it."""
    match = _DIGITS.match(text, position)
    if match is None or _WORD_GOES_ON.match(text, match.end()):
        return None
    digits = match[0]
    return digits if digits.lstrip("0123456789").startswith(":") else None


def _parse_digits(digits: str, position: int) -> MediaTime | Timecode:
    try:
        if ";" in digits or digits.count(":") > 2:
            return parse_timecode(digits)
        return MediaTime(parse_media_time(digits))
    except ClockError as error:
        raise ClockError(error.found, error.expected, position) from None


def _read_round_clock(text: str, mark: re.Match[str]) -> TimeToken | None:
    begin, reading = mark.start(), mark.end()
    spaced = bool(mark[2])
    digits = _read_digits(text, reading if spaced else begin + 1)
    if digits is None or (not spaced and _RATIO.fullmatch(digits)):
        return None
    if not spaced:
        raise ClockError(text[begin] + digits, "a space between round and clock, such as R4 0:05", begin)
    number, stop = int(mark[1]), reading + len(digits)
    if number < 1:
        raise ClockError(text[begin:stop], "a round from 1 on", begin)
    time = _parse_digits(digits, reading)
    if isinstance(time, Timecode):
        raise ClockError(digits, "a round clock such as 0:05", reading)
    return TimeToken(begin, stop, RoundClock(number, time.seconds))


def _end_of_range(text: str, start: TimeToken, end: TimeToken) -> Time:
    if isinstance(start.time, RoundClock) and isinstance(end.time, MediaTime):
        return RoundClock(start.time.round, end.time.seconds)
    if _kind(start.time) != _kind(end.time):
        raise ClockError(text[end.begin : end.stop], f"a {_kind(start.time)}, as the range begins with one", end.begin)
    return end.time


def _kind(time: Time) -> str:
    if isinstance(time, Timecode):
        return "drop-frame timecode" if time.drop else "non-drop timecode"
    return "round clock" if isinstance(time, RoundClock) else "media time"
