"""Clock stamps in caption files, and the timing line `start --> end` that WebVTT and SubRip share."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction

from fightnotes.reading.excerpt import excerpt

from .cue import SPACES, Fault

ARROW = "-->"

# At most nine digits a field: more is no time, and int() refuses strings of thousands of digits.
_LOOSE_STAMP = re.compile(r"(?:(?P<h>[0-9]{1,9}):)?(?P<m>[0-9]{1,3}):(?P<s>[0-9]{1,2})(?:[.,](?P<frac>[0-9]{1,9}))?")
# The look-behind lets a match begin only where a run of dashes begins, which keeps the search linear.
LOOSE_ARROW = re.compile(r"(?<![-\u2013\u2014])[-\u2013\u2014]+ ?>")


@dataclass(frozen=True)
class StampForm:
    """How a format writes a time. The pattern has the groups h, m, s and frac."""

    pattern: re.Pattern[str]
    wanted: str


@dataclass(frozen=True)
class Timing:
    """A timing line as read: no start means that the cue cannot be placed."""

    start: Fraction | None
    end: Fraction | None
    faults: tuple[Fault, ...]


def seconds(stamp: re.Match[str]) -> Fraction:
    """Exact seconds of a match with the groups h, m, s and frac (decimal digits of a second)."""
    whole = int(stamp["h"] or 0) * 3600 + int(stamp["m"]) * 60 + int(stamp["s"])
    digits = stamp["frac"] or "0"
    return whole + Fraction(int(digits), 10 ** len(digits))


def read_timing(line: str, number: int, form: StampForm) -> Timing:
    """Read a timing line; `number` is its 1-based place in the file.

    A time that breaks the form but still has one meaning (a comma for a point, a digit too few) is used
    and reported. An end that cannot be read, or is not after the start, is reported and left out.
    What follows the end (cue settings, coordinates) is ignored.
    """
    faults: list[Fault] = []
    arrow = LOOSE_ARROW.search(line)
    if arrow is None:
        return Timing(None, None, (Fault(number, 1, excerpt(line), f"{form.wanted} {ARROW} {form.wanted}"),))

    left, start_column = _trim(line[: arrow.start()], 1)
    right, end_column = _trim(line[arrow.end() :], arrow.end() + 1)
    start = _read_stamp(left, Fault(number, start_column, excerpt(left), f"a start {form.wanted}"), form, faults)
    if arrow[0] != ARROW:
        faults.append(Fault(number, arrow.start() + 1, excerpt(arrow[0]), ARROW))

    stamped = form.pattern.match(right)
    token = stamped[0] if stamped else re.split(f"[{SPACES}]", right, maxsplit=1)[0]
    end = _read_stamp(token, Fault(number, end_column, excerpt(token), f"an end {form.wanted}"), form, faults)
    if start is not None and end is not None and end <= start:
        expected = f"an end later than the start {left}"
        faults.append(Fault(number, end_column, excerpt(token), expected, "impossible-time"))
        end = None
    return Timing(start, end, tuple(faults))


def _read_stamp(token: str, fault: Fault, form: StampForm, faults: list[Fault]) -> Fraction | None:
    stamp = form.pattern.fullmatch(token)
    if stamp:
        return seconds(stamp)
    faults.append(fault)
    stamp = _LOOSE_STAMP.fullmatch(token)
    if stamp is None or int(stamp["s"]) > 59 or (stamp["h"] and int(stamp["m"]) > 59):
        return None
    return seconds(stamp)


def _trim(part: str, column: int) -> tuple[str, int]:
    """The part without white space at its ends, and the column where it then begins."""
    trimmed = part.lstrip(SPACES)
    return trimmed.rstrip(SPACES), column + len(part) - len(trimmed)
