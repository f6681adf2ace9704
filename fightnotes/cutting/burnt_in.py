"""The title and the round clock of a cut, as lines to draw on its picture."""

from __future__ import annotations

from fractions import Fraction
from itertools import groupby
from math import ceil, floor

from fightnotes.clock import Placement, RoundFormat, format_media_time, placement_of
from fightnotes.cutting.ass import DialogueLine, Style
from fightnotes.cutting.cuts import Cut
from fightnotes.model import FOOTAGE


def reel_styles(width: int, height: int) -> tuple[Style, ...]:
    """The title low on the left, the clock high on the right; a line as high as a sixteenth of the shorter side."""
    shorter = min(width, height)
    size, edge = max(10, shorter // 16), max(2, shorter // 30)
    return (
        Style("title", size, corner=1, edge=edge, from_edge=edge),
        Style("clock", size, corner=9, edge=edge, from_edge=edge, bold=True),
    )


def clock_lines(cut: Cut, frames: int, rate: Fraction) -> list[DialogueLine]:
    """The round clock over `frames` frames at `rate`, a line for each reading; none where nothing places it.

    A clock that runs down shows the seconds begun (3:00 at the bell, 0:00 at the end), one that runs up the
    seconds full, as ringside clocks do (common practice, no source).
    """
    if cut.recording != FOOTAGE or cut.bout.rounds is None:
        return []
    fmt, bells = cut.bout.rounds, cut.bout.bells
    readings = (
        (frame, _reading(placement_of(cut.start + frame / rate, bells, fmt), fmt))
        for frame in map(Fraction, range(frames))
    )
    lines = []
    for text, run in groupby(readings, key=lambda pair: pair[1]):
        shown = [int(frame) for frame, _ in run]
        if text:
            lines.append(DialogueLine(text, shown[0], shown[-1] + 1, "clock"))
    return lines


def _reading(placement: Placement | None, fmt: RoundFormat) -> str:
    if placement is None or placement.round is None or placement.period == "after":
        return ""
    if placement.clock is None:
        return f"R{placement.round} rest"
    seconds = ceil(placement.clock) if fmt.clock == "down" else floor(placement.clock)
    return f"R{placement.round} {format_media_time(Fraction(seconds), decimals=0)}"
