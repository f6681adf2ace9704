"""Rows of a table in a note: which cells hold the round and the time, by the header or by what they look like.

CommonMark knows no tables; a line of a paragraph that begins with `|` is a row.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from fightnotes.clock import ClockError, Habits, narrow, read_round_mark, read_span
from fightnotes.model import fold
from fightnotes.reading.note_blocks import Line
from fightnotes.reading.note_heads import Head, in_round, report_clock_error, written_time
from fightnotes.reading.placed_yaml import Reporter
from fightnotes.reading.round_headings import RoundLine

_CELL = re.compile(r"(?:\\.|[^|\\])+")
_RULE = re.compile(r"\|?[\s:|-]*-[\s:|-]*")
_ROUND_NAMES = ("round", "rounds", "rd", "rnd", "r")
_TIME_NAMES = (
    "time",
    "clock",
    "round clock",
    "time left",
    "left",
    "when",
    "at",
    "m:ss",
    "mm:ss",
    "timecode",
    "tc",
    "media",
)
_MOST_CELLS = 64
_NUMBER = re.compile(r"[0-9]{1,3}")


@dataclass(frozen=True)
class Columns:
    """Which cells, from 0, hold the round and the time; None where no header says so."""

    round: int | None = None
    time: int | None = None


@dataclass(frozen=True)
class _Cell:
    begin: int
    text: str


def is_row(line: Line) -> bool:
    return line.text.startswith("|")


def is_rule(line: Line) -> bool:
    """Whether it is the line below a table's header, which has no words."""
    return is_row(line) and _RULE.fullmatch(line.text) is not None


def columns_of(row: Line) -> Columns | None:
    """The columns that a header names; None where it is none, as it names no column for a time."""
    names = [fold(cell.text.strip("*_ ")) for cell in _cells(row.text)]
    time = next((number for number, name in enumerate(names) if name in _TIME_NAMES), None)
    if time is None or any(_NUMBER.match(name) for name in names):
        return None
    return Columns(next((number for number, name in enumerate(names) if name in _ROUND_NAMES), None), time)


def head_of_row(row: Line, columns: Columns, habits: Habits, round_above: int | None, reporter: Reporter) -> Head:
    """Every row opens a segment; the cells that are not its time are its text."""
    cells = _cells(row.text)
    round_at = _round_column(cells, columns)
    time_at = columns.time if columns.time is not None else (0 if round_at is None else round_at + 1)
    number = _round_in(cells[round_at].text) if round_at is not None and round_at < len(cells) else None
    taken = {round_at} if number is not None else set()
    time = None
    if time_at < len(cells):
        try:
            span = read_span(
                row.text[: cells[time_at].begin + len(cells[time_at].text)],
                _inside(cells[time_at]),
                habits,
                in_round=True,
            )
            if span is not None:
                time = written_time(row, span if number is None else in_round(span, number), round_above)
                taken.add(time_at)
            elif columns.time is not None and any(sign.isdigit() for sign in cells[time_at].text):
                raise ClockError(cells[time_at].text, "a time such as 2:10", cells[time_at].begin)
        except ClockError as error:
            report_clock_error(error, row, reporter, "impossible-time")
    rest = tuple(
        Line(row.number, row.column + cell.begin, cell.text)
        for index, cell in enumerate(cells)
        if index not in taken and cell.text
    )
    names = RoundLine(number, "", alone=False, begins_section=False) if number is not None else None
    return Head(True, rest, time, names)


def _round_column(cells: Sequence[_Cell], columns: Columns) -> int | None:
    if columns.time is not None:
        return columns.round
    mark = read_round_mark(narrow(cells[0].text)) if cells else None
    return 0 if mark is not None and mark.stop == len(cells[0].text) else None


def _round_in(text: str) -> int | None:
    bare = narrow(text).strip("*_ ")
    if _NUMBER.fullmatch(bare):
        return int(bare) or None
    mark = read_round_mark(bare)
    return mark.number if mark is not None and mark.stop == len(bare) and 1 <= mark.number <= 999 else None


def _inside(cell: _Cell) -> int:
    return cell.begin + len(cell.text) - len(cell.text.lstrip("*_[(`"))


def _cells(text: str) -> list[_Cell]:
    """The cells between the lines of a row, without the blanks around them; behind many of them, the rest is one."""
    cells: list[_Cell] = []
    begin = 1
    while begin < len(text) and len(cells) < _MOST_CELLS:
        match = _CELL.match(text, begin)
        inside = match[0] if match else ""
        stripped = inside.strip()
        cells.append(_Cell(begin + len(inside) - len(inside.lstrip()), stripped))
        begin += len(inside) + 1
    if begin < len(text):
        cells.append(_Cell(begin, text[begin:]))
    return cells
