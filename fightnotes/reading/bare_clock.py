"""Bare times below round headings: of the recording, unless a file's own run says that they are the round's clock.

The times of a recording rise through a file. Those that fall within their rounds are of a clock that runs down; those
that rise within them and begin again with each, of one that runs up. Where too few tell, it is said how to write them.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from fightnotes.clock import MediaTime, RoundClock
from fightnotes.reading.direction import direction_of, steps_of
from fightnotes.reading.excerpt import excerpt
from fightnotes.reading.note_heads import in_round
from fightnotes.reading.placed_yaml import Reporter
from fightnotes.reading.timing import WrittenTime

_LONGEST = 300
"""Seconds of the longest usual round (common practice, no source)."""


def on_round_clocks(times: Sequence[tuple[WrittenTime, int]], reporter: Reporter) -> list[WrittenTime] | None:
    """The bare times of a file, each with the round that its heading names, on those rounds' clocks; None where they
    are the recording's, or may be, which is reported where they fall."""
    on_clock = [replace(time, span=in_round(time.span, number)) for time, number in times]
    runs = direction_of(on_clock)
    if runs == "down" or (runs == "up" and _begin_again(on_clock)):
        return on_clock
    falling = [time for time, change in steps_of(on_clock) if change < 0]
    if runs is None and 2 * len(falling) > len(list(steps_of(on_clock))):
        first = falling[0]
        found = f"{excerpt(first.text)}, which lies before the time above it"
        clock = first.span.start
        assert isinstance(clock, RoundClock)
        expected = f"R{clock.round} {first.text}, if it is the round's clock; times that rise, if the recording's"
        reporter.at(first.line, first.column, found, expected, "impossible-time")
    return None


def is_bare(time: WrittenTime) -> bool:
    """Whether it is minutes and seconds that a round's clock could show, and names no round."""
    span = time.span
    ends = [each for each in (span.start, span.end) if each is not None]
    return span.counting is None and all(isinstance(each, MediaTime) and each.seconds <= _LONGEST for each in ends)


def _begin_again(times: Sequence[WrittenTime]) -> bool:
    """Whether each further round's times begin below where those of the round before it ended."""
    clocks = [time.span.start for time in times if isinstance(time.span.start, RoundClock)]
    changes = [(one, other) for one, other in pairwise(clocks) if one.round != other.round]
    return bool(changes) and all(other.seconds < one.seconds for one, other in changes)
