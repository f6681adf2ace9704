"""From scored segments to distinct moments: neighbours that say the same are folded, bouts may be spread."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from fractions import Fraction

import numpy as np

from fightnotes.index.encoder import Vectors
from fightnotes.model import Segment

TOGETHER_SECONDS = Fraction(3, 2)
"""Starts no further apart than this are one moment of a bout, however it is told (common practice, no source)."""
NEIGHBOUR_SECONDS = Fraction(4)
"""Starts no further apart than this may be one moment, if they say the same (common practice, no source)."""
ALIKE = 0.45
"""Cosine from which on two neighbours say the same."""
SPREAD = 0.85
"""What each hit that a bout has already costs its next one, with `spread`."""


@dataclass
class Scored:
    number: int
    score: float
    segment: Segment
    same_moment: list[Segment] = field(default_factory=list)


def fold(ranked: Sequence[Scored], vectors: Vectors) -> list[Scored]:
    """The ranked segments without those that tell a moment again that stands above them; these are put beside it."""
    kept: list[tuple[int, Scored]] = []
    for row, one in enumerate(ranked):
        twin = next(
            (
                above
                for above_row, above in kept
                if one_moment(above.segment, one.segment, float(vectors[above_row] @ vectors[row]))
            ),
            None,
        )
        if twin:
            twin.same_moment.append(one.segment)
        else:
            kept.append((row, one))
    return [one for _, one in kept]


def one_moment(first: Segment, second: Segment, alike: float) -> bool:
    """Whether two segments tell the same moment of a bout; `alike` is the cosine of their vectors."""
    apart = seconds_apart(first, second)
    if apart is None:
        return False
    return apart <= TOGETHER_SECONDS or (apart <= NEIGHBOUR_SECONDS and alike >= ALIKE)


def seconds_apart(first: Segment, second: Segment) -> Fraction | None:
    """Between the starts of two segments of one bout, on the footage, their own recording or the round clock."""
    if first.bout != second.bout:
        return None
    if first.footage_start is not None and second.footage_start is not None:
        return abs(first.footage_start - second.footage_start)
    if first.timed_on == second.timed_on and first.start is not None and second.start is not None:
        return abs(first.start - second.start)
    if first.round is None or first.round != second.round or first.clock_start is None or second.clock_start is None:
        return None
    return abs(first.clock_start - second.clock_start)


def spread_bouts(ranked: Sequence[Scored], limit: int) -> list[Scored]:
    """Greedy: each place goes to the highest score after every earlier hit of the same bout took its share off."""
    waiting = list(ranked)
    chosen: list[Scored] = []
    taken: dict[str, int] = {}
    while waiting and len(chosen) < limit:
        worth = [one.score * SPREAD ** taken.get(one.segment.bout, 0) for one in waiting]
        best = waiting.pop(int(np.argmax(worth)))
        taken[best.segment.bout] = taken.get(best.segment.bout, 0) + 1
        chosen.append(best)
    return chosen
