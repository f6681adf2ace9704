"""A Markdown note: from its blocks to drafts of segments, each with its time as written."""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from fightnotes.clock import ClockError, SpanToken, read_span
from fightnotes.reading.note_blocks import Block, Line
from fightnotes.reading.placed_yaml import Reporter, excerpt

_ROUND_HEADING = re.compile(r"(?:round|rd\.?|r)\s*(\d{1,3})\b", re.IGNORECASE)
_BEFORE_TIME = re.compile(r"[*_\[(]*")
_AFTER_TIME = re.compile(r"[*_\])]*(?:\s*[-–—:,](?=\s|$))?\s*")


@dataclass
class Draft:
    """A segment to be: its lines in groups of one block each, the first without the time it begins with."""

    line: int
    column: int
    span: SpanToken | None
    written_time: str | None
    heading: tuple[str, ...]
    heading_round: int | None
    parent_line: int | None
    groups: list[tuple[Line, ...]] = field(default_factory=list)
    literal: list[str] = field(default_factory=list)
    """Code and HTML, in which nothing is marked up."""
    last_line: int = 0


def drafts_of(blocks: tuple[Block, ...], reporter: Reporter) -> list[Draft]:
    """Segments in document order.

    A line that begins with a time opens a segment. In a list item, the lines and nested items that do not
    begin with one belong to it; elsewhere, the lines of the same paragraph do. Text that nothing before
    it claims is an untimed segment.
    """
    drafts: list[Draft] = []
    headings: list[tuple[int, str]] = []
    heading_round: int | None = None
    owners: dict[int, Draft] = {}
    for block in blocks:
        if block.kind == "heading":
            title = " ".join(line.text for line in block.lines)
            headings = [*(above for above in headings if above[0] < block.level), (block.level, title)]
            rounds = [_ROUND_HEADING.match(text) for _, text in headings]
            heading_round = next((int(match[1]) for match in reversed(rounds) if match), None)
            continue
        titles = tuple(text for _, text in headings)
        owner = next((owners[item] for item in reversed(block.items) if item in owners), None)
        parent = next((owners[item].line for item in reversed(block.items[:-1]) if item in owners), None)
        for group in _groups(block, reporter):
            if group.opens or owner is None:
                owner = Draft(
                    line=group.line,
                    column=group.column,
                    span=group.span,
                    written_time=group.written,
                    heading=titles,
                    heading_round=heading_round,
                    parent_line=parent,
                )
                drafts.append(owner)
                if block.items:
                    owners[block.items[-1]] = owner
            if block.kind == "literal":
                owner.literal.extend(line.text for line in group.lines)
            elif group.lines:
                owner.groups.append(group.lines)
            owner.last_line = max(owner.last_line, group.last_line)
    return drafts


@dataclass(frozen=True)
class _Group:
    """Lines of one block up to the next that begins with a time."""

    line: int
    column: int
    opens: bool
    span: SpanToken | None
    written: str | None
    lines: tuple[Line, ...]
    last_line: int


def _groups(block: Block, reporter: Reporter) -> list[_Group]:
    groups: list[_Group] = []
    for line in block.lines:
        head = _Head() if block.kind == "literal" else _head_of(line, reporter)
        if head.opens or not groups:
            rest = Line(line.number, line.column + head.stop, line.text[head.stop :])
            kept = (rest,) if rest.text else ()
            groups.append(_Group(line.number, line.column, head.opens, head.span, head.written, kept, line.number))
        else:
            last = groups[-1]
            groups[-1] = _Group(
                last.line, last.column, last.opens, last.span, last.written, (*last.lines, line), line.number
            )
    return groups


@dataclass(frozen=True)
class _Head:
    """What a line begins with; a broken time opens a segment too, whose text is then untimed."""

    opens: bool = False
    span: SpanToken | None = None
    written: str | None = None
    stop: int = 0


def _head_of(line: Line, reporter: Reporter) -> _Head:
    lead = _BEFORE_TIME.match(line.text)
    begin = lead.end() if lead else 0
    try:
        span = read_span(line.text, begin)
    except ClockError as error:
        column = line.column + (begin if error.position is None else error.position)
        reporter.at(line.number, column, excerpt(error.found), error.expected)
        return _Head(opens=True)
    if span is None:
        return _Head()
    after = _AFTER_TIME.match(line.text, span.stop)
    return _Head(True, span, line.text[span.begin : span.stop], after.end() if after else span.stop)
