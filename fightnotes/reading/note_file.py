"""A Markdown note: from its blocks to drafts of segments, each with its time as written."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace

from fightnotes.clock import habits_of
from fightnotes.reading.note_blocks import Block, Line, plain_text
from fightnotes.reading.note_heads import Head, beginnings, head_of, timed_head
from fightnotes.reading.note_tables import Columns, columns_of, head_of_row, is_row, is_rule
from fightnotes.reading.placed_yaml import Reporter
from fightnotes.reading.round_headings import is_spelt_round, round_of_title
from fightnotes.reading.timing import WrittenTime

_PLAIN_LEVEL = 2
"""The level of a plain line that is a heading, as `## Round 4` has it, where no deeper one stands above."""


@dataclass
class Draft:
    """A segment to be."""

    line: int
    time: WrittenTime | None
    heading: tuple[str, ...]
    heading_round: int | None
    """The round that a heading above names, or the line itself where it has no clock."""
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

    A line that begins with a time or a round opens a segment, in a heading too, and so does a table's row and what is
    meant as a time and cannot be read, which is reported. In a list item, the lines and nested items that do not begin
    with one belong to it; elsewhere, the lines of the same paragraph do. Text that nothing before it claims is an
    untimed segment. A line that only names a round is a heading.
    """
    drafting = _Drafting(blocks, reporter)
    for block in blocks:
        drafting.take(block)
    return drafting.drafts


class _Drafting:
    """One pass over the blocks of a note."""

    def __init__(self, blocks: tuple[Block, ...], reporter: Reporter) -> None:
        self.drafts: list[Draft] = []
        self._reporter = reporter
        self._habits = habits_of(beginnings(blocks))
        self._headings: list[tuple[int, str, int | None]] = []
        """Level, title, and the round that it names."""
        self._owners: dict[int, Draft] = {}

    def take(self, block: Block) -> None:
        if block.kind == "heading" and not self._opens_in_heading(block):
            title = plain_text(" ".join(line.text for line in block.lines))
            self._set_heading(block.level, title, round_of_title(title))
            return
        owner = next((self._owners[item] for item in reversed(block.items) if item in self._owners), None)
        gathered: list[Line] = []
        for line, head in self._heads(block):
            if head.round is not None and head.round.begins_section:
                self._set_heading(self._plain_level(), head.round.title, head.round.number)
            if head.round is not None and head.round.alone:
                self._add_part(owner, gathered, block)
                owner, gathered = None, []
                for item in block.items:  # what follows in them stands below the heading
                    self._owners.pop(item, None)
                continue
            if head.opens or owner is None:
                self._add_part(owner, gathered, block)
                owner, gathered = self._open(line, head, block), []
            gathered.extend(head.rest)
            owner.last_line = max(owner.last_line, line.number)
        self._add_part(owner, gathered, block)

    def _opens_in_heading(self, block: Block) -> bool:
        """Whether a Markdown heading begins with a time and is a note; a round that it spells out makes it none."""
        if not block.lines or is_spelt_round(block.lines[0].text):
            return False
        return timed_head(block.lines[0], self._habits, self._round, Reporter("")) is not None

    def _heads(self, block: Block) -> Iterator[tuple[Line, Head]]:
        columns = Columns()
        before = ""
        for index, line in enumerate(block.lines):
            if block.kind == "literal":
                yield line, Head(False, (line,))
            elif block.kind == "heading":
                head = timed_head(line, self._habits, self._round, self._reporter)
                yield line, head or Head(False, (line,))
            elif not is_row(line):
                columns = Columns()
                head = head_of(line, self._habits, self._round, before, self._reporter)
                yield line, replace(head, opens=head.opens or before.startswith("|"))
            elif not is_rule(line) and (header := self._header(block, index)) is not None:
                columns = header
            elif not is_rule(line):
                yield line, head_of_row(line, columns, self._habits, self._round, self._reporter)
            before = line.text

    @staticmethod
    def _header(block: Block, index: int) -> Columns | None:
        """The columns that the first row of a table names."""
        first = index == 0 or not is_row(block.lines[index - 1])
        return columns_of(block.lines[index]) if first else None

    def _open(self, line: Line, head: Head, block: Block) -> Draft:
        titles = tuple(title for _, title, _ in self._headings)
        number = head.round.number if head.round is not None else self._round
        parent = next((self._owners[item].line for item in reversed(block.items[:-1]) if item in self._owners), None)
        draft = Draft(line.number, head.time, titles, number, parent)
        self.drafts.append(draft)
        if block.items:
            self._owners[block.items[-1]] = draft
        return draft

    @staticmethod
    def _add_part(owner: Draft | None, lines: list[Line], block: Block) -> None:
        if owner is not None and (lines or not owner.parts):
            owner.parts.append(Part(tuple(line for line in lines if line.text), block.kind == "literal"))

    @property
    def _round(self) -> int | None:
        """The round that the innermost heading to name one names."""
        return next((number for _, _, number in reversed(self._headings) if number is not None), None)

    def _set_heading(self, level: int, title: str, number: int | None) -> None:
        self._headings = [*(above for above in self._headings if above[0] < level), (level, title, number)]

    def _plain_level(self) -> int:
        """That of the round heading that it follows, else one below the innermost heading."""
        rounds = [level for level, _, number in self._headings if number is not None]
        return rounds[0] if rounds else max([_PLAIN_LEVEL, *(level + 1 for level, _, _ in self._headings)])
