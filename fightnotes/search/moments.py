"""From scored segments to distinct moments: neighbours that say the same are folded, bouts may be spread."""

from __future__ import annotations

from collections import Counter, defaultdict, deque
from collections.abc import Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from heapq import heapify, heappop, heapreplace

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


Window = tuple[tuple[str, ...], int]
"""A clock of a bout, and the number of a part of it that is as long as neighbours may lie apart."""


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
    near: dict[Window, list[int]] = defaultdict(list)
    """Rows kept, by what they may be compared on and where that lies."""
    for row, one in enumerate(ranked):
        windows = windows_of(one.segment)
        beside = {above for window in windows for key in beside_window(window) for above in near[key]}
        twin = next(
            (
                above
                for above in sorted(beside)
                if one_moment(ranked[above].segment, one.segment, vectors[[above, row]])
            ),
            None,
        )
        if twin is None:
            kept.append(row)
            for window in windows:
                near[window].append(row)
        else:
            ranked[twin].same_moment.append(one.segment)
    return [ranked[row] for row in kept]


def windows_of(segment: Segment) -> list[Window]:
    """Where the segment starts on each clock that `seconds_apart` may compare it on."""
    starts = (
        (("footage",), segment.footage_start),
        (("recording", segment.timed_on), segment.start),
        (("round", str(segment.round)), None if segment.round is None else segment.clock_start),
    )
    return [((segment.bout, *clock), _part(start)) for clock, start in starts if start is not None]


def _part(start: Fraction) -> int:
    """`start // NEIGHBOUR_SECONDS`, many times faster."""
    return start.numerator * NEIGHBOUR_SECONDS.denominator // (start.denominator * NEIGHBOUR_SECONDS.numerator)


def beside_window(window: Window) -> tuple[Window, ...]:
    """Where neighbours of a segment that starts in this window may start."""
    clock, part = window
    return (clock, part - 1), window, (clock, part + 1)


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
    waiting: dict[str, deque[tuple[int, Scored]]] = defaultdict(deque)
    for place, one in enumerate(sorted(ranked, key=lambda one: -one.score)):
        waiting[one.segment.bout].append((place, one))
    taken: Counter[str] = Counter()

    def next_of(bout: str) -> tuple[float, int, str]:
        place, one = waiting[bout][0]
        return -one.score * SPREAD ** taken[bout], place, bout

    heap = [next_of(bout) for bout in waiting]
    heapify(heap)
    chosen: list[Scored] = []
    while heap and len(chosen) < limit:
        bout = heap[0][2]
        chosen.append(waiting[bout].popleft()[1])
        taken[bout] += 1
        if waiting[bout]:
            heapreplace(heap, next_of(bout))
        else:
            heappop(heap)
    return chosen
