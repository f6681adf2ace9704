"""Numbers with their intervals: bars from zero down the side of their names, and columns along rounds or dates."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from fightnotes.pages.drawing import drawing, escape, fitted, wide
from fightnotes.pages.numbers import number

_WIDE = 340
_SIDE = 8
_STEP = 34
_NOT_NOTED = "not noted"


@dataclass(frozen=True)
class Measured:
    label: str
    value: float | None
    """None where nothing is known, which is no zero."""
    low: float | None
    high: float | None
    note: str = ""
    """What the number rests on, such as `7 in 12 rounds`; where there is none, why, if not for
    want of notes."""

    def told(self, unit: str) -> str:
        if self.value is None:
            return f"{self.label}: {self.note or _NOT_NOTED}"
        span = f" ({number(self.low)} to {number(self.high)})" if self.low is not None and self.high is not None else ""
        return f"{self.label}: {number(self.value)} {unit}{span}{', ' if self.note else ''}{self.note}"


def ticks(top: float) -> list[float]:
    """From 0 to the first at or above `top`, in steps of 1, 2 or 5 times a power of ten; six at most."""
    if top <= 0:
        return [0.0, 1.0]
    power = 10.0 ** math.floor(math.log10(top / 5))
    step = next(step * power for step in (1, 2, 5, 10) if top / (step * power) <= 5)
    return [round(step * number, 10) for number in range(math.ceil(top / step - 1e-9) + 1)]


def top_of(items: Sequence[Measured]) -> float:
    return max((end for one in items for end in (one.value, one.high) if end is not None), default=0.0)


def bars_with_intervals(items: Sequence[Measured], title: str, unit: str) -> str:
    """A bar below each label, all on one scale from zero, with the interval as a line; `unit` names the axis."""
    marks = ticks(top_of(items))
    height = len(items) * _STEP + 34

    def x(value: float) -> float:
        return round(_SIDE + min(value / marks[-1], 1.0) * (_WIDE - 2 * _SIDE - 10), 1)

    parts = []
    for mark in marks:
        parts.append(f'<line x1="{x(mark)}" y1="0" x2="{x(mark)}" y2="{height - 30}" class="soft-line"/>')
        parts.append(f'<text x="{x(mark)}" y="{height - 18}" text-anchor="middle">{mark:g}</text>')
    parts.append(f'<text x="{_SIDE}" y="{height - 4}">{escape(fitted(unit, _WIDE - 2 * _SIDE))}</text>')
    for index, one in enumerate(items):
        y = index * _STEP + 14
        note = (
            (one.note or _NOT_NOTED)
            if one.value is None
            else f"{number(one.value)}{', ' if one.note else ''}{one.note}"
        )
        label = fitted(one.label, _WIDE - _SIDE - 12 - wide(f": {note}"))
        parts.append(f'<text x="{_SIDE + 2}" y="{y}">{escape(label)}: {escape(note)}</text>')
        if one.value is not None:
            parts.append(
                f'<rect x="{_SIDE}" y="{y + 4}" width="{x(one.value) - _SIDE:.1f}" height="9" class="main">'
                f"<title>{escape(one.told(unit))}</title></rect>"
            )
        if one.low is not None and one.high is not None:
            parts += _whisker(x(one.low), y + 8.5, x(one.high), y + 8.5)
    return drawing(_WIDE, height, title, "; ".join(one.told(unit) for one in items), parts)


def columns_with_intervals(items: Sequence[Measured], title: str, unit: str, top: float | None = None) -> str:
    """A column for each round or date, in order; a dash stands where nothing is known.

    `top` is what the scale reaches at least, so that several drawings have one.
    """
    marks = ticks(max(top_of(items), top or 0.0))
    left, tall, above = 34, 110, 18
    step = (_WIDE - left - _SIDE) / max(len(items), 1)
    broad = min(step * 0.6, 26)

    def y(value: float) -> float:
        return round(above + tall - min(value / marks[-1], 1.0) * tall, 1)

    parts = [f'<text x="2" y="11">{escape(fitted(unit, _WIDE - _SIDE))}</text>']
    for mark in marks:
        parts.append(f'<line x1="{left}" y1="{y(mark)}" x2="{_WIDE - _SIDE}" y2="{y(mark)}" class="soft-line"/>')
        parts.append(f'<text x="{left - 4}" y="{y(mark) + 4}" text-anchor="end">{mark:g}</text>')
    every = max(1, math.ceil((max((wide(one.label) for one in items), default=1) + 4) / step))
    for index, one in enumerate(items):
        middle = round(left + (index + 0.5) * step, 1)
        if index % every == 0:
            parts.append(f'<text x="{middle}" y="{above + tall + 14}" text-anchor="middle">{escape(one.label)}</text>')
        if one.value is None:
            parts.append(
                f'<text x="{middle}" y="{above + tall - 4}" text-anchor="middle">–'
                f"<title>{escape(one.told(unit))}</title></text>"
            )
            continue
        high = above + tall - y(one.value)
        box = f'x="{middle - broad / 2:.1f}" y="{y(one.value)}" width="{broad:.1f}" height="{high:.1f}"'
        parts.append(f'<rect {box} class="main"><title>{escape(one.told(unit))}</title></rect>')
        if one.low is not None and one.high is not None:
            parts += _whisker(middle, y(one.low), middle, y(one.high))
    return drawing(_WIDE, above + tall + 22, title, "; ".join(one.told(unit) for one in items), parts)


def _whisker(x1: float, y1: float, x2: float, y2: float) -> list[str]:
    """A line from end to end, and one across each end."""
    across, up = (0, 3) if y1 == y2 else (3, 0)
    ends = (
        f'<line x1="{x - across:.1f}" y1="{y - up:.1f}" x2="{x + across:.1f}" y2="{y + up:.1f}" class="ink-line"/>'
        for x, y in ((x1, y1), (x2, y2))
    )
    return [f'<line x1="{x1}" y1="{y1}" x2="{x2}" y2="{y2}" class="ink-line"/>', *ends]
