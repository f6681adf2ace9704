"""From scored segments to distinct moments: neighbours that say the same are folded, bouts may be spread."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from fractions import Fraction

import numpy as np

from fightnotes.index.encoder import Vectors
from fightnotes.model import Segment
from fightnotes.search.polarity import AGREES, Polarity

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
    polarity: Polarity = AGREES
    same_moment: list[Segment] = field(default_factory=list)


def fold_moments(ranked: Sequence[Scored], vectors: Vectors) -> list[Scored]:
    """The ranked segments without those that tell a moment again that stands above them; these are put beside it.

    `vectors` are those of the segments, row by row.
    """
    kept: list[int] = []
    for row, one in enumerate(ranked):
        same_bout = (above for above in kept if ranked[above].segment.bout == one.segment.bout)
        twin = next(
            (above for above in same_bout if one_moment(ranked[above].segment, one.segment, vectors[[above, row]])),
            None,
        )
        if twin is None:
            kept.append(row)
        else:
            ranked[twin].same_moment.append(one.segment)
    return [ranked[row] for row in kept]


def one_moment(first: Segment, second: Segment, vectors: Vectors) -> bool:
    """Whether two segments, which have these two vectors, tell the same moment of a bout.

    Notes without text are not compared: their vectors would say that all of them are alike.
    """
    apart = seconds_apart(first, second)
    if apart is None or apart > NEIGHBOUR_SECONDS:
        return False
    if apart <= TOGETHER_SECONDS:
        return True
    return bool(first.text and second.text) and float(vectors[0] @ vectors[1]) >= ALIKE


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
