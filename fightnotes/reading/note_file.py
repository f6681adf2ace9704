"""A Markdown note: from its blocks to drafts of segments, each with its time as written."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, field

from fightnotes.clock import ClockError, read_span
from fightnotes.reading.excerpt import excerpt
from fightnotes.reading.note_blocks import Block, Line, plain_text
from fightnotes.reading.placed_yaml import Reporter
from fightnotes.reading.timing import WrittenTime
from fightnotes.reading.values import ROUND

_ROUND_HEADING = re.compile(rf"(?:round|rd\.?|r)\s*({ROUND})\b(?!\s*(?:[-–&+,/]|to|and)\s*\d)", re.IGNORECASE)
_BEFORE_TIME = re.compile(r"[*_\[(]*")
_AFTER_TIME = re.compile(r"(?P<marks>[*_\])]*(?:(?<=\])\([^()\s]*\)[*_\])]*)?)(?:\s*[-–—:,](?=\s|$))?\s*")
"""Closing marks, with a link's target where the time is the link's text, then a dash or colon."""


@dataclass
class Draft:
    """A segment to be."""

    line: int
    time: WrittenTime | None
    heading: tuple[str, ...]
    heading_round: int | None
    parent_line: int | None
    parts: list[Part] = field(default_factory=list)
    last_line: int = 0


@dataclass(frozen=True)
class Part:
    """Consecutive lines of one block, without the time that they begin with."""

    lines: tuple[Line, ...]
    literal: bool
    """Code or HTML, in which nothing is marked up."""


def drafts_of(blocks: tuple[Block, ...], reporter: Reporter) -> list[Draft]:
    """Segments in document order.

    A line that begins with a time opens a segment, in a heading too. In a list item, the lines and nested
    items that do not begin with one belong to it; elsewhere, the lines of the same paragraph do. Text that
    nothing before it claims is an untimed segment.
    """
    drafts: list[Draft] = []
    headings: list[tuple[int, str]] = []
    heading_round: int | None = None
    owners: dict[int, Draft] = {}
    for block in blocks:
        groups = _groups(block, reporter)
        if block.kind == "heading" and not (groups and groups[0].head.opens):
            title = plain_text(" ".join(line.text for line in block.lines))
            headings = [*(above for above in headings if above[0] < block.level), (block.level, title)]
            heading_round = _round_of(text for _, text in headings)
            continue
        owner = next((owners[item] for item in reversed(block.items) if item in owners), None)
        parent = next((owners[item].line for item in reversed(block.items[:-1]) if item in owners), None)
        for group in groups:
            if group.head.opens or owner is None:
                titles = tuple(text for _, text in headings)
                owner = Draft(group.lines[0].number, group.head.time, titles, heading_round, parent)
                drafts.append(owner)
                if block.items:
                    owners[block.items[-1]] = owner
            kept = tuple(line for line in (group.head.rest, *group.lines[1:]) if line.text)
            owner.parts.append(Part(kept, block.kind == "literal"))
            owner.last_line = max(owner.last_line, group.lines[-1].number)
    return drafts


def _round_of(headings: Iterable[str]) -> int | None:
    """The round that the innermost heading to name one names."""
    named = [match for text in headings if (match := _ROUND_HEADING.match(text))]
    return int(named[-1][1]) if named else None


@dataclass(frozen=True)
class _Head:
    """How a line begins; a broken time opens a segment too, whose text is then untimed."""

    opens: bool
    time: WrittenTime | None
    rest: Line
    """The line behind its time."""


@dataclass(frozen=True)
class _Group:
    """Lines of one block up to the next that begins with a time; `head` is of the first."""

    head: _Head
    lines: list[Line]


def _groups(block: Block, reporter: Reporter) -> list[_Group]:
    groups: list[_Group] = []
    for line in block.lines:
        head = _Head(False, None, line) if block.kind == "literal" else _head_of(line, reporter)
        if head.opens or not groups:
            groups.append(_Group(head, [line]))
        else:
            groups[-1].lines.append(line)
    return groups


def _head_of(line: Line, reporter: Reporter) -> _Head:
    marks = _prefix(_BEFORE_TIME, line.text, 0)
    try:
        span = read_span(line.text, len(marks))
    except ClockError as error:
        column = line.column + (error.position or 0)
        reporter.at(line.number, column, excerpt(error.found), error.expected, "impossible-time")
        return _Head(True, None, line)
    if span is None:
        return _Head(False, None, line)
    time = WrittenTime(span, line.text[span.begin : span.stop], line.number, line.column + span.begin)
    after = _AFTER_TIME.match(line.text, span.stop)
    assert after is not None  # it matches nothing, too
    # Marks that close further on, as in `**0:41 jab**`, stay before the text; nothing in them has a place.
    kept = "" if after["marks"] else marks
    rest = Line(line.number, line.column + after.end() - len(kept), kept + line.text[after.end() :])
    return _Head(True, time, rest)


def _prefix(pattern: re.Pattern[str], text: str, position: int) -> str:
    match = pattern.match(text, position)
    return match[0] if match else ""
