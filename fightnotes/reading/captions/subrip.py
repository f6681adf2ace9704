"""Read SubRip (.srt), which has no standard: what is common practice, and what broken files still tell.

Own reader: the caption libraries drop what is broken without saying where; they check it in the tests.

Read without complaint: a missing number or empty line, empty lines inside the text (text lasts until the next
number and timing line), a point for the comma, coordinates behind the times, cues that overlap. A line of
digits right above a timing line is its number; above an empty line it is one only if it counts on from the
number before. Tags (i, b, u, s, font, and {\\an8}-like codes) are taken off; character references are not a
part of SubRip and stay. Lines that rolling captions repeat are taken once (see rolling).
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from fightnotes.reading.excerpt import excerpt

from .cue import CaptionFile, Fault, caption_lines, plain
from .rolling import Payload, TextLine, text_line, unroll
from .stamps import ARROW, StampForm, read_timing

_FORM = StampForm(
    re.compile(r"(?P<h>[0-9]{2,9}):(?P<m>[0-5][0-9]):(?P<s>[0-5][0-9])[,.](?P<frac>[0-9]{3})(?![0-9])"),
    "time hh:mm:ss,mmm",
)
# A full arrow with a time on either side of it, or another arrow with a time on both.
_TIMING_LINE = re.compile(
    r"[ \t]*-?[0-9]+:[0-9][^>]*-->"
    r"|[^>]*-->[ \t]*[0-9]+:[0-9]"
    r"|[ \t]*[0-9]+:[0-9][0-9:.,; \t]*[-\u2013\u2014]+ ?>[ \t]*[0-9]+:[0-9]"
)
_NUMBER = re.compile(r"[ \t]*([0-9]{1,9})[ \t]*")
_TAG = re.compile(r"</?(?:i|b|u|s|font)(?:[ \t][^<>]*)?>|\{\\[^{}]*\}", re.IGNORECASE)


def read_subrip(text: str) -> CaptionFile:
    """Cues, faults and untimed text of a SubRip file. Never raises."""
    lines = caption_lines(text)
    timings = [at for at, line in enumerate(lines) if _TIMING_LINE.match(line)]
    numbers = _numbers(lines, timings)
    payloads: list[Payload] = []
    faults: list[Fault] = []
    untimed: list[tuple[int, str]] = []

    bounds = [numbers.get(at, at) for at in timings] + [len(lines)]
    if leading := _text(lines, 0, bounds[0]):
        first = leading[0].number
        faults.append(Fault(first, 1, excerpt(lines[first - 1]), f"a number, or a timing line, start {ARROW} end"))
        untimed.append(_untimed(leading))
    for at, last in zip(timings, bounds[1:], strict=True):
        timing = read_timing(lines[at], at + 1, _FORM)
        faults += timing.faults
        body = _text(lines, at + 1, last)
        if timing.start is not None:
            ident = plain(lines[numbers[at]]) if at in numbers else None
            payloads.append(Payload(timing.start, timing.end, ident, at + 1, body))
        elif body:
            untimed.append(_untimed(body))
    return CaptionFile(unroll(payloads), tuple(faults), tuple(untimed))


def _numbers(lines: Sequence[str], timings: Sequence[int]) -> dict[int, int]:
    """For each timing line (index) that has a number, the index of the number's line."""
    numbers: dict[int, int] = {}
    lowest, wanted = 0, 1
    for at in timings:
        above = at - 1
        while above >= lowest and not lines[above].strip():
            above -= 1
        number = _NUMBER.fullmatch(lines[above]) if above >= lowest else None
        if number and (above == at - 1 or int(number[1]) == wanted):
            numbers[at] = above
            wanted = int(number[1])
        lowest, wanted = at + 1, wanted + 1
    return numbers


def _text(lines: Sequence[str], first: int, last: int) -> tuple[TextLine, ...]:
    read = (text_line(at + 1, [(None, _TAG.sub("", lines[at]), None)]) for at in range(first, last))
    return tuple(line for line in read if line)


def _untimed(lines: Sequence[TextLine]) -> tuple[int, str]:
    return lines[0].number, " ".join(text for line in lines for _, text in line.runs)
