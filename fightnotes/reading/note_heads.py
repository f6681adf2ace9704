"""How a line of a note begins: with a time, a round, what is meant as one and cannot be read, or with words."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from fightnotes.clock import (
    ClockError,
    Habits,
    MediaTime,
    RoundClock,
    SpanToken,
    read_span,
    refuse_near_time,
)
from fightnotes.errors import ProblemKind
from fightnotes.reading.excerpt import excerpt
from fightnotes.reading.note_blocks import Block, Line
from fightnotes.reading.placed_yaml import Reporter
from fightnotes.reading.round_headings import RoundLine, read_round_line
from fightnotes.reading.timing import WrittenTime

_HARD_BULLET = r"[•‣▪◦●○■□▶►⁃∙・]"
_BULLETS = re.compile(
    rf"(?:(?:{_HARD_BULLET}|[·»›→])\s*|[-–—*+]\s+|\(?[0-9]{{1,3}}[.)]\s+|[a-zA-Z]\)\s+|\[[ xX]?\]\s+"
    r"|[^\w\s~≈∼@*_`\[({\"“‘'|<\\]{1,4}\s+)*"
)
_OPENS_ITEM = re.compile(_HARD_BULLET)
_HTML = r"</?[a-zA-Z][^<>]{0,60}>"
_BEFORE_TIME = re.compile(rf"(?:[*_\[({{\"“'‘`|\s]|~~|==|{_HTML}){{0,24}}")
_AFTER_TIME = re.compile(
    rf"(?P<marks>(?:[*_\])}}\"”'’`]|~~|==|{_HTML})*(?:(?<=\])\([^()\s]*\)[*_\])]*)?)"
    r"(?:\s*\||\s*[-–—:;,.](?=\s|$))?\s*"
)
"""Closing marks, with a link's target where the time is the link's text, then a dash, a stop or a table's line."""
_CLOSES = {"*": "*", "_": "_", "[": "]", "(": ")", "{": "}", '"': '"', "“": "”", "‘": "’", "'": "'", "`": "`"}
_CLOSING = re.compile(r"[*_\])}\"”`]")
_UNFINISHED = re.compile(
    r"\b(?:a|about|after|all|and|as|at|before|but|by|during|each|every|for|from|her|his|in|into|is|of|on|or|since|than"
    r"|that|the|their|this|through|to|until|was|with),?$",
    re.IGNORECASE,
)
_LONGEST_BEGINNING = 24


@dataclass(frozen=True)
class Head:
    """How a line begins."""

    opens: bool
    """Whether the line opens a segment; a broken time does, too, and its text is then untimed."""
    rest: tuple[Line, ...]
    """The line behind its time; of a table's row, its cells."""
    time: WrittenTime | None = None
    round: RoundLine | None = None
    """The round that it names, where it has no clock."""


def beginnings(blocks: Iterable[Block]) -> Iterator[str]:
    """How the lines of paragraphs begin, where a time would stand."""
    for block in blocks:
        if block.kind == "paragraph":
            for line in block.lines:
                begin = _reading_begin(line.text)
                yield line.text[begin : begin + _LONGEST_BEGINNING]


def _reading_begin(text: str) -> int:
    """Where a time would begin, behind bullets, numbers of a list and opening marks."""
    return _end(_BEFORE_TIME, text, _end(_BULLETS, text, 0))


def head_of(line: Line, habits: Habits, round_above: int | None, before: str, reporter: Reporter) -> Head:
    """How a line of a paragraph begins; `before` is the line above it in its paragraph.

    A round in small letters below a line that stops in mid-phrase was wrapped there: `in the`, `third round`.
    """
    timed = timed_head(line, habits, round_above, reporter)
    if timed is not None:
        return timed
    try:
        refuse_near_time(line.text, _reading_begin(line.text), habits)
    except ClockError as error:
        report_clock_error(error, line, reporter, "unreadable")
        return Head(True, (line,))
    names = read_round_line(line.text)
    wrapped = line.text[:1].islower() and _UNFINISHED.search(before) is not None
    if names is not None and not wrapped:
        return Head(True, (line,), round=names)
    return Head(_OPENS_ITEM.match(line.text) is not None, (line,))


def timed_head(line: Line, habits: Habits, round_above: int | None, reporter: Reporter) -> Head | None:
    """The beginning of a line that is a time, or a broken one; else None."""
    begin = _end(_BULLETS, line.text, 0)
    marks_end = _end(_BEFORE_TIME, line.text, begin)
    try:
        span = read_span(line.text, marks_end, habits, in_round=round_above is not None)
        if span is None:
            return None
        time = written_time(line, span, round_above)
    except ClockError as error:
        report_clock_error(error, line, reporter, "impossible-time")
        return Head(True, (line,))
    after = _AFTER_TIME.match(line.text, span.stop)
    assert after is not None  # it matches nothing, too
    closed = after["marks"] or _CLOSING.search(line.text, span.begin, span.stop)
    kept = "" if closed else _still_open(line.text[begin:marks_end], line.text[after.end() :])
    return Head(
        True, (Line(line.number, line.column + after.end() - len(kept), kept + line.text[after.end() :]),), time
    )


def written_time(line: Line, span: SpanToken, number: int | None) -> WrittenTime:
    """A time with its place; what counts in a round that it does not name counts in round `number`.

    Raises ClockError, with its position in the line, where no round is known for it.
    """
    text = line.text[span.begin : span.stop]
    if span.counting is not None and isinstance(span.start, MediaTime):
        if number is None:
            expected = f"the round as well, such as R1 {text}, or a heading such as Round 1 above"
            raise ClockError(text, expected, span.begin)
        span = in_round(span, number)
    return WrittenTime(span, text, line.number, line.column + span.begin)


def in_round(span: SpanToken, number: int) -> SpanToken:
    """The span on the clock of a round, where it names none."""

    def placed(time: MediaTime) -> RoundClock:
        return RoundClock(number, time.seconds)

    start = placed(span.start) if isinstance(span.start, MediaTime) else span.start
    end = placed(span.end) if isinstance(span.end, MediaTime) else span.end
    return replace(span, start=start, end=end)


def report_clock_error(error: ClockError, line: Line, reporter: Reporter, kind: ProblemKind) -> None:
    position = error.position or 0
    found = line.text[position : position + len(error.found)]
    reporter.at(line.number, line.column + position, excerpt(found), error.expected, kind)


def _still_open(opened: str, behind: str) -> str:
    """Marks that close further on, as in `**0:41 jab**`, stay before the text; nothing in them has a place."""
    return "".join(sign for sign in opened if sign in _CLOSES and _CLOSES[sign] in behind)


def _end(pattern: re.Pattern[str], text: str, position: int) -> int:
    match = pattern.match(text, position)
    return match.end() if match else position
