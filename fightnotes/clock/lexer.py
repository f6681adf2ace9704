"""Times and ranges where they stand in a text, as tokens that carry offsets.

A time is a reading of a clock (`notation`), of the recording's or, behind a round (`round_mark`), of the round's.
Around it may stand that it is approximate (`~`, `c.`, `about`; `ish`, `?`), and how a round's clock counts
(`counting`).

A round clock says plainly that a time is meant, so that `R4 0:5` is a mistake; so does a dash without a space after it,
so that `0:05-12` is one.
"""

import re
from dataclasses import dataclass, replace
from fractions import Fraction

from .counting import Counted, Counting, read_counting
from .faults import ClockError
from .media_time import MediaTime
from .notation import RATIO, Habits, Reading, digits_at, parse_digits, read_bare, read_point, read_reading
from .round_mark import RoundMark, read_round_mark
from .rounds import RoundClock
from .signs import narrow
from .timecode import Timecode

Time = MediaTime | Timecode | RoundClock

_USUAL = Habits()
_LONGEST_ROUND = 5 * 60
"""Seconds; in the unified rules of mixed martial arts, a round lasts five minutes."""
_BLANK = r"[^\S\r\n]"
_ABOUT = r"(?:~(?!~)|[≈∼])|(?:circa|ca|about|approximately|approx|around|roughly)\b\.?|c\."
_LEAD = re.compile(
    rf"(?:(?:@|(?P<with>with\b|w/)|at\b|(?:time|timestamp|clock|tc|ts|t)(?:{_BLANK}*[:=]|{_BLANK})|(?P<about>{_ABOUT})){_BLANK}*[*_(\[`]*)*",
    re.IGNORECASE,
)
_TO_CLOCK = re.compile(
    rf"(?:{_BLANK}|[*_`(\[\])|,./@–—-]|[:;](?![0-9])|(?<!\w)at\b|(?P<about>(?<!\w)(?:{_ABOUT}))){{0,24}}", re.IGNORECASE
)
_ROUGHLY = re.compile(
    rf"{_BLANK}?-?ish\b|\?+(?![\w?])|{_BLANK}\(\?\)|{_BLANK}(?:or so|or thereabouts|approx)\b\.?", re.IGNORECASE
)
_RANGE = re.compile(
    rf"{_BLANK}*(?:[-–](?!>)|(?P<other>->|→|—|~(?!~)|\.\.+|…))(?P<space>{_BLANK}*)"
    rf"|{_BLANK}+(?:to|until|till|through|thru){_BLANK}+",
    re.IGNORECASE,
)
_NUMBER = re.compile(r"[0-9]\S*")


@dataclass(frozen=True, slots=True)
class TimeToken:
    """One time in a text: `text[begin:stop]`."""

    begin: int
    stop: int
    time: Time
    about: bool = False
    needs_left: bool = False
    """Whether it is a time only for the `left` behind it: `10 seconds left`."""


@dataclass(frozen=True, slots=True)
class SpanToken:
    """A time, or a range of two times, in a text: `text[begin:stop]`."""

    begin: int
    stop: int
    start: Time
    end: Time | None
    """The second time of a range, of the same kind as the first; None where one time stands alone."""
    about: bool = False
    """Whether it is written as approximate."""
    counting: Counting | None = None
    """Whether the text says that a round's clock is read: as it shows, what is left of the round, or what is gone of
    it. A media time is then one of a round that is named elsewhere."""
    end_begin: int | None = None
    """Where the second time begins."""


def read_time(text: str, position: int = 0, habits: Habits = _USUAL) -> TimeToken | None:
    """The time that begins at `position`; None where plain text does.

    The text before `position` is not looked at.

    Raises ClockError, with `position`, for what is meant as a time and is none.
    """
    text = narrow(text)
    mark = read_round_mark(text, position)
    token = _read_round_clock(text, mark, habits) if mark is not None else None
    if token is not None:
        return token
    reading = read_reading(text, position, habits)
    if reading is not None:
        return TimeToken(position, reading.stop, reading.time)
    reading = _before_left(text, position)
    return None if reading is None else TimeToken(position, reading.stop, reading.time, needs_left=True)


def read_span(text: str, position: int = 0, habits: Habits = _USUAL, in_round: bool = False) -> SpanToken | None:
    """The time or range that begins at `position`, with what says that it is approximate; None where plain text does.

    Between two times stands a dash, an arrow, `~`, two points, or `to` with spaces around it. Behind a round clock the
    second time may leave the round out. A dash or `to` that leads to no time is plain text behind a time that stands
    alone. Whether the second time comes after the first depends on the way the clock runs, and is not judged here.

    `in_round` says that a round is known: then `2:10 left, she jabs` counts what is left of it, which is else the hand.

    Raises ClockError, with `position`, for a broken time, for two times of different kinds (media time, round
    clock, drop-frame and non-drop timecode), and for a dash with a digit right behind it that begins no time.
    """
    plain = narrow(text)
    lead = _LEAD.match(plain, position)
    assert lead is not None  # it matches nothing, too
    start = read_time(plain, lead.end(), habits)
    if start is None:
        return None
    sure = bool(lead["with"]) or start.needs_left
    begin = lead.start("about") if lead["about"] else start.begin
    start, about = _roughly(plain, start)
    end = _read_end(plain, start, habits)
    end_begin = end.begin if end else None
    if end is not None:
        end, end_about = _roughly(plain, end)
        about = about or end_about
    last = end or start
    counted = _counted(plain, last, in_round, sure)
    if lead["with"] and counted is None:
        return None
    second = None if end is None else _end_of_range(plain, start, end)
    about = about or bool(lead["about"])
    if counted is None:
        return SpanToken(begin, last.stop, start.time, second, about, None, end_begin)
    first = _in_round(start.time, counted.round)
    second = None if second is None else _in_round(second, counted.round)
    return SpanToken(begin, counted.stop, first, second, about, counted.how, end_begin)


def parse_time(text: str) -> Time:
    """The one time that `text` is, but for white space around it. Raises ClockError for anything else."""
    bare = text.strip()
    token = read_time(bare)
    if token is None or token.stop != len(bare):
        raise ClockError(bare or "nothing", "a time such as 4:05, 1:04:05.5, 01:04:05:12 or R4 0:05")
    return token.time


def _read_round_clock(text: str, mark: RoundMark, habits: Habits) -> TimeToken | None:
    between = _TO_CLOCK.match(text, mark.stop)
    assert between is not None  # it matches nothing, too
    if not between[0] and text.startswith(":", mark.stop):
        _refuse_tight_clock(text, mark)
        return None
    reading = between.end()
    digits = digits_at(text, reading)
    if digits is not None and RATIO.fullmatch(digits):  # no ratio: a round says that a time is meant
        parse_digits(digits, reading)
    found = read_reading(text, reading, habits, certain=mark.alone and bool(between[0]))
    needs_left = found is None
    found = found or _before_left(text, reading)
    if found is None:
        return None
    if mark.number < 1:
        raise ClockError(text[mark.begin : found.stop], "a round from 1 on", mark.begin)
    if isinstance(found.time, Timecode):
        raise ClockError(text[reading : found.stop], "a round clock such as 0:05", reading)
    clock = RoundClock(mark.number, found.time.seconds)
    about = between["about"] is not None
    return TimeToken(mark.begin, found.stop, clock, about, needs_left)


def _refuse_tight_clock(text: str, mark: RoundMark) -> None:
    digits = digits_at(text, mark.digits)
    if digits is not None and not RATIO.fullmatch(digits):
        found = text[mark.begin : mark.digits] + digits
        raise ClockError(found, "a space between round and clock, such as R4 0:05", mark.begin)


def _before_left(text: str, position: int) -> Reading | None:
    """`10 seconds left` and `2.10 left`, which are readings only for what stands behind them."""
    reading = read_bare(text, position)
    if reading is None and (point := read_point(text, position)) and int(point["s"]) < 60:
        reading = Reading(point.end(), MediaTime(Fraction(int(point["m"]) * 60 + int(point["s"]))))
    if reading is None or read_counting(text, reading.stop, known=True, sure=True) is None:
        return None
    return reading


def _roughly(text: str, token: TimeToken) -> tuple[TimeToken, bool]:
    """The token with what says behind it that it is approximate."""
    match = _ROUGHLY.match(text, token.stop)
    if match is None:
        return token, token.about
    return replace(token, stop=match.end(), about=True), True


def _read_end(text: str, start: TimeToken, habits: Habits) -> TimeToken | None:
    separator = _RANGE.match(text, start.stop)
    if separator is None:
        return None
    end = read_time(text, separator.end(), habits)
    number = _NUMBER.match(text, separator.end())
    if end is None and number is not None and separator["space"] == "" and separator["other"] is None:
        raise ClockError(number[0], "a time behind the dash, or a space before a number", number.start())
    return end


def _counted(text: str, token: TimeToken, in_round: bool, sure: bool) -> Counted | None:
    if isinstance(token.time, Timecode):
        return None
    known = in_round or isinstance(token.time, RoundClock)
    longer = token.time.seconds > _LONGEST_ROUND
    counted = read_counting(text, token.stop, None if longer else known, sure)
    if counted is not None and counted.doubtful:
        found = text[token.begin : counted.stop]
        raise ClockError(found, "a round clock such as R2 2:10, or another word for the hand", token.begin)
    return counted


def _in_round(time: Time, number: int | None) -> Time:
    return RoundClock(number, time.seconds) if number is not None and isinstance(time, MediaTime) else time


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
