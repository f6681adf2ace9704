"""Whether the round clocks of a file run the other way than the bout says: one mistake, told once."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from fractions import Fraction
from typing import Literal

from fightnotes.clock import RoundClock, RoundFormat
from fightnotes.reading.excerpt import excerpt
from fightnotes.reading.placed_yaml import Reporter
from fightnotes.reading.timing import WrittenTime

_LEAST_STEPS = 3
_SHARE = 4
"""So many steps the wrong way, and so many to one the right way; by hand, no source."""


def clock_runs_against(rounds: RoundFormat | None, times: Iterable[WrittenTime], reporter: Reporter) -> bool:
    """Whether a file's round clocks, in the order of its lines, run against `rounds`; if so, that is reported once."""
    if rounds is None:
        return False
    steps = list(_steps(times))
    up = [written for written, change in steps if change > 0]
    down = [written for written, change in steps if change < 0]
    against, along = (up, down) if rounds.clock == "down" else (down, up)
    if not _outweighs(against, along):
        return False
    first = against[0]
    other = "up" if rounds.clock == "down" else "down"
    found = f"round clocks that run {other} in {len(against)} of {len(steps)} steps, first at {excerpt(first.text)}"
    expected = f"times that run {rounds.clock}, as `clock: {rounds.clock}` has it, or `clock: {other}` in `rounds`"
    reporter.at(first.line, first.column, found, expected, "clock-direction")
    return True


def direction_of(times: Iterable[WrittenTime]) -> Literal["down", "up"] | None:
    """Which way a file's round clocks run, in the order of its lines; None where too few steps tell, or both ways."""
    steps = list(_steps(times))
    up = [written for written, change in steps if change > 0]
    down = [written for written, change in steps if change < 0]
    if _outweighs(down, up):
        return "down"
    return "up" if _outweighs(up, down) else None


def _outweighs(some: list[WrittenTime], others: list[WrittenTime]) -> bool:
    return len(some) >= _LEAST_STEPS and len(some) >= _SHARE * len(others)


def _steps(times: Iterable[WrittenTime]) -> Iterator[tuple[WrittenTime, Fraction]]:
    """How far each start lies from the one before it in its round, and each end from its start, in seconds."""
    last: dict[int, Fraction] = {}
    for written in times:
        start, end = written.span.start, written.span.end
        if not isinstance(start, RoundClock) or written.span.counting in ("left", "gone"):
            continue  # the words say which way it counts
        if start.round in last:
            yield written, start.seconds - last[start.round]
        last[start.round] = start.seconds
        if isinstance(end, RoundClock) and end.round == start.round:
            yield written, end.seconds - start.seconds
