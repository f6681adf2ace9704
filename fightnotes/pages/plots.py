"""Plots as inline SVG, each with a text that says the same: bars over bouts, a grid of counts, intervals on a line."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from fightnotes.pages.drawing import drawing, escape, fitted, wide

_LEAST = 3.0
"""Height of a bar that can still be seen."""
_WIDE = 340
"""Of a plot that shall fit a telephone."""
_LONGEST_NAME = 120
"""Units of a name beside a grid."""
_TURN = math.pi / 3
"""By which the names above a grid are turned."""


@dataclass(frozen=True)
class Interval:
    label: str
    value: float
    low: float | None
    high: float | None
    note: str

    def __str__(self) -> str:
        span = f" ({self.low:.2f} to {self.high:.2f})" if self.low is not None and self.high is not None else ""
        return f"{self.value:.2f}{span}, {self.note}"


def bars(values: Sequence[int], names: Sequence[str], title: str, top: int, ends: tuple[str, str]) -> str:
    """One bar a value, heights in parts of `top`; `names` are what a pointer over a bar shows, `ends` what the axis
    says of the first and the last."""
    left, height, step = 24, 48, min(12.0, 240 / max(len(values), 1))
    width = max(step * len(values), 110)
    parts = []
    for index, (value, name) in enumerate(zip(values, names, strict=True)):
        tall = max(round(value / top * height, 1), _LEAST) if value else 0
        hint = f"<title>{escape(name)}: {value}</title>"
        x = round(left + index * step + step / 12, 2)
        box = f'x="{x}" y="{height - tall + 6}" width="{round(step * 5 / 6, 2)}" height="{tall}"'
        parts.append(f'<rect {box} class="main">{hint}</rect>')
    floor, right = height + 6, left + width
    parts.append(f'<path d="M{left} 6 V{floor} H{right}" fill="none" class="ink-line"/>')
    for number, y in ((top, 10), (0, floor)):
        parts.append(f'<text x="{left - 4}" y="{y}" text-anchor="end">{number}</text>')
    parts.append(f'<text x="{left}" y="{floor + 13}">{escape(ends[0])}</text>')
    parts.append(f'<text x="{right}" y="{floor + 13}" text-anchor="end">{escape(ends[1])}</text>')
    told = ", ".join(f"{name}: {value}" for name, value in zip(names, values, strict=True) if value) or "none"
    return drawing(right + 2, floor + 17, title, told, parts)


def grid(
    rows: Sequence[str], columns: Sequence[str], counts: Sequence[Sequence[int]], title: str, joined: str = " and "
) -> str:
    """A square a pair, the darker the more; the number stands in it. The margins are as wide as the names need."""
    cell = 26
    named = [fitted(name, _LONGEST_NAME) for name in columns]
    left = math.ceil(max((wide(fitted(name, _LONGEST_NAME)) for name in rows), default=0)) + 12
    above = math.ceil(max(map(wide, named), default=0) * math.sin(_TURN)) + 16
    over = math.ceil(
        max((wide(name) * math.cos(_TURN) - place * cell for place, name in enumerate(named[::-1])), default=0)
    )
    most = max((count for row in counts for count in row), default=0)
    parts, told = [], []
    for column, name in enumerate(columns):
        x = left + column * cell + cell / 2 + 4
        turned = f'transform="translate({x},{above - 6}) rotate({-math.degrees(_TURN):g})"'
        parts.append(f"<text {turned}>{escape(named[column])}<title>{escape(name)}</title></text>")
    for row, name in enumerate(rows):
        y = above + row * cell
        parts.append(
            f'<text x="{left - 6}" y="{y + 17}" text-anchor="end">'
            f"{escape(fitted(name, _LONGEST_NAME))}<title>{escape(name)}</title></text>"
        )
        for column, count in enumerate(counts[row]):
            strength = round(0.15 + 0.85 * count / most, 2) if count else 0
            x = left + column * cell
            box = f'x="{x}" y="{y}" width="{cell - 1}" height="{cell - 1}"'
            parts.append(f'<rect {box} class="main soft-line" fill-opacity="{strength}"/>')
            if count:
                ink = "paper" if strength > 0.55 else "ink"
                parts.append(f'<text x="{x + cell / 2}" y="{y + 17}" text-anchor="middle" class="{ink}">{count}</text>')
                told.append(f"{name}{joined}{columns[column]}: {count}")
    said = "; ".join(told) or "none"
    return drawing(left + len(columns) * cell + over + 4, above + len(rows) * cell + 2, title, said, parts)


def intervals(items: Sequence[Interval], title: str) -> str:
    """A dot with its interval below each label, on one scale from -1 to 1."""
    side, step = 10, 36
    height = len(items) * step + 26

    def x(value: float) -> float:
        return round(side + (min(max(value, -1), 1) + 1) / 2 * (_WIDE - 2 * side), 1)

    parts = []
    for mark in (-1, 0, 1):
        parts.append(f'<line x1="{x(mark)}" y1="0" x2="{x(mark)}" y2="{height - 20}" class="soft-line"/>')
        parts.append(f'<text x="{x(mark)}" y="{height - 6}" text-anchor="middle">{mark}</text>')
    for index, item in enumerate(items):
        y = index * step + 26
        parts.append(f'<text x="{side}" y="{y - 12}">{escape(item.label)}: {escape(item.note)}</text>')
        if item.low is not None and item.high is not None:
            ends = f'x1="{x(item.low)}" y1="{y}" x2="{x(item.high)}" y2="{y}"'
            parts.append(f'<line {ends} class="main-line" stroke-width="2"/>')
        parts.append(f'<circle cx="{x(item.value)}" cy="{y}" r="4.5" class="main"/>')
    return drawing(_WIDE, height, title, "; ".join(f"{one.label}: {one}" for one in items), parts)
