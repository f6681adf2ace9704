"""A bout drawn round by round: one line a round, each moment at its time, red above the line and blue below.

A moment is a letter that its concept has, so that neither colour nor shape is needed to tell it; the key says which.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from fightnotes.pages.drawing import drawing, escape, fitted

Side = Literal["red", "blue", "neither"]

_WIDE = 340
_LEFT, _RIGHT = 30, 10
_STEP = 13
"""Height of a row of letters, and the least distance between two in one row."""
_KEY_STEP = 15


@dataclass(frozen=True)
class Mark:
    at: float
    """Seconds since the round began."""
    letter: str
    side: Side
    """Whose act it is; of an unknown actor it stands above the line in the colour of the ink."""
    told: str
    """What a pointer over it shows, and a reader hears."""
    link: str = ""
    """Where it leads; nowhere in a file."""


@dataclass(frozen=True)
class DrawnRound:
    label: str
    seconds: float
    """How long the round was."""
    noted: bool
    """Whether anybody noted it; one that nobody did is drawn broken, as nothing is known of it."""
    marks: Sequence[Mark] = ()


def timeline(rounds: Sequence[DrawnRound], key: Sequence[tuple[str, str]], title: str) -> str:
    """`key` is letter and concept, in the order in which they are shown. All rounds have one scale."""
    longest = max((one.seconds for one in rounds), default=0.0) or 1.0
    wide = _WIDE - _LEFT - _RIGHT
    parts: list[str] = []
    told: list[str] = []
    y = 4.0
    for one in rounds:
        placed = [(mark, _LEFT + min(mark.at / longest, 1.0) * wide) for mark in one.marks]
        above = _rows([(mark, x) for mark, x in placed if mark.side != "blue"])
        below = _rows([(mark, x) for mark, x in placed if mark.side == "blue"])
        line = y + _STEP * max(len(above), 1)
        parts += _line(one, line, _LEFT + one.seconds / longest * wide)
        for number, row in enumerate(above):
            parts += [_letter(mark, x, line - 4 - number * _STEP) for mark, x in row]
        for number, row in enumerate(below):
            parts += [_letter(mark, x, line + 11 + number * _STEP) for mark, x in row]
        said = ", ".join(mark.told for mark, _ in sorted(placed, key=lambda each: each[1])) or "nothing"
        told.append(f"{one.label}: {said if one.noted or one.marks else 'not noted'}")
        y = line + _STEP * max(len(below), 1) + 6
    for number, (letter, name) in enumerate(key):
        parts.append(
            f'<text x="{_LEFT}" y="{y + 12 + number * _KEY_STEP:g}"><tspan font-weight="bold">{escape(letter)}</tspan>'
            f" {escape(fitted(name, _WIDE - _LEFT - 24))}</text>"
        )
    linked = any(mark.link for one in rounds for mark in one.marks)
    role: Literal["img", "group"] = "group" if linked else "img"
    return drawing(_WIDE, y + len(key) * _KEY_STEP + 4, title, "; ".join(told), parts, role)


def _line(one: DrawnRound, y: float, end: float) -> list[str]:
    broken = "" if one.noted else ' stroke-dasharray="2 4"'
    parts = [
        f'<text x="{_LEFT - 6}" y="{y + 4:g}" text-anchor="end">{escape(one.label)}</text>',
        f'<line x1="{_LEFT}" y1="{y:g}" x2="{end:.1f}" y2="{y:g}" class="ink-line"{broken}/>',
    ]
    minutes = range(60, int(one.seconds) + 1, 60) if one.noted else ()
    wide = (end - _LEFT) / one.seconds if one.seconds else 0.0
    for second in minutes:
        x = _LEFT + second * wide
        parts.append(f'<line x1="{x:.1f}" y1="{y - 2:g}" x2="{x:.1f}" y2="{y + 2:g}" class="ink-line"/>')
    return parts


def _rows(marks: Sequence[tuple[Mark, float]]) -> list[list[tuple[Mark, float]]]:
    """In rows, the first nearest the line, so that no letter lies on another."""
    rows: list[list[tuple[Mark, float]]] = []
    for mark, x in sorted(marks, key=lambda each: each[1]):
        free = next((row for row in rows if x - row[-1][1] >= _STEP), None)
        if free is None:
            free = []
            rows.append(free)
        free.append((mark, x))
    return rows


def _letter(mark: Mark, x: float, y: float) -> str:
    colour = "ink" if mark.side == "neither" else mark.side
    text = (
        f'<text x="{x:.1f}" y="{y:g}" text-anchor="middle" font-weight="bold" class="{colour}">'
        f"{escape(mark.letter)}<title>{escape(mark.told)}</title></text>"
    )
    return f'<a href="{escape(mark.link)}" aria-label="{escape(mark.told)}">{text}</a>' if mark.link else text
