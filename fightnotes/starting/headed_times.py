"""Whether bare times below the headings of rounds are of the round's clock: those of the footage only ever grow."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from typing import Literal

_LONGEST = Fraction(20 * 60)
"""No round lasts longer, in seconds."""
_SURE_STEPS = 2
_SHARE = 4
"""So many steps that no footage takes, and so many to one of the others; by hand, no source."""

HeadedTime = tuple[int, Fraction]
"""The round of the heading, and the seconds that stand below it."""


@dataclass(frozen=True)
class HeadedClock:
    """The clock that the times below headings are of."""

    direction: Literal["down", "up"]
    sure: bool
    times: tuple[Fraction, ...]
    """In seconds."""


def headed_clock(files: Sequence[Sequence[HeadedTime]]) -> HeadedClock | None:
    """The clock of the times of a bout's files, in the order of their lines; None where they may be of the footage.

    On a clock that runs down they fall within a round; on one that runs up they begin anew with each round.
    """
    clocks = tuple(seconds for times in files for _, seconds in times)
    steps = [step for times in files for step in pairwise(times)]
    steps += [(one[-1], other[0]) for one, other in pairwise(filter(None, files)) if one[-1][0] < other[0][0]]
    within = [after - before for (earlier, before), (later, after) in steps if earlier == later]
    between = [after - before for (earlier, before), (later, after) in steps if earlier != later]
    falls, rises = sum(step < 0 for step in within), sum(step > 0 for step in within)
    restarts, goes_on = sum(step < 0 for step in between), sum(step > 0 for step in between)
    if max(clocks, default=Fraction(0)) > _LONGEST:
        return None
    if falls and falls >= _SHARE * rises:
        return HeadedClock("down", falls >= _SURE_STEPS, clocks)
    if restarts and not goes_on and not falls:
        return HeadedClock("up", rises + restarts > _SURE_STEPS, clocks)
    return None
