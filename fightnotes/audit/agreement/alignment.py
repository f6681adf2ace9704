"""Which segments of two annotations of one bout are about the same moment."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction

import numpy as np
from scipy.optimize import linear_sum_assignment

from fightnotes.model import FOOTAGE, Segment

TOLERANCE = Fraction(3)
"""Seconds that may lie between two segments about the same moment. Common practice, no source."""

Base = str | int
"""What times count on: a recording's name, or a round where only its clock is known."""
Extent = tuple[Fraction, Fraction]


@dataclass(frozen=True)
class Pair:
    """Two segments about the same moment."""

    first: Segment
    second: Segment
    nearness: float
    """Above 0 and at most 2; see `nearness_of`."""


@dataclass(frozen=True)
class Aligned:
    pairs: tuple[Pair, ...]
    """In the order of the first annotation."""
    first_alone: tuple[Segment, ...]
    second_alone: tuple[Segment, ...]
    """The segments for which the other annotation has none."""


def extents_of(segment: Segment) -> dict[Base, Extent]:
    """Where a segment lies on each base that places it, the footage first; empty where nothing does.

    Seconds, the lesser first. An end that nobody wrote is the reader's guess and says nothing about
    what the analyst saw, so such a segment lies at its start alone.
    """
    found: dict[Base, Extent] = {}
    if segment.footage_start is not None:
        found[FOOTAGE] = _extent(segment.footage_start, segment.footage_end, segment.end_given)
    if segment.start is not None:
        found.setdefault(segment.timed_on, _extent(segment.start, segment.end, segment.end_given))
    if segment.round is not None and segment.clock_start is not None:
        found[segment.round] = _extent(segment.clock_start, segment.clock_end, segment.end_given)
    return found


def nearness_of(first: Extent, second: Extent) -> float:
    """How near two segments are, 0 to 2; 0 where more than TOLERANCE seconds lie between them.

    The share of their joint length that they have in common (intersection over union), and the
    nearness of their starts, which is 1 for the same start and a half at TOLERANCE apart, added.
    """
    if first[0] - second[1] > TOLERANCE or second[0] - first[1] > TOLERANCE:
        return 0.0
    common = min(first[1], second[1]) - max(first[0], second[0])
    joint = max(first[1], second[1]) - min(first[0], second[0])
    share = max(common, Fraction(0)) / joint if joint else Fraction(1)
    apart = abs(first[0] - second[0])
    return float(share + (TOLERANCE / (TOLERANCE + apart) if apart else 1))


def align(first: Sequence[Segment], second: Sequence[Segment]) -> Aligned:
    """Match the segments of two annotations one to one, so that the sum of `nearness_of` is greatest.

    Both annotations are of the same bout. Two segments are compared on the footage where both have it, else
    on a recording that both are timed on, else on the clock of the same round.
    """
    weights = np.zeros((len(first), len(second)))
    others = [extents_of(segment) for segment in second]
    for row, segment in enumerate(first):
        here = extents_of(segment)
        for column, there in enumerate(others):
            base = next((base for base in here if base in there), None)
            if base is not None:
                weights[row, column] = nearness_of(here[base], there[base])
    rows, columns = linear_sum_assignment(weights, maximize=True)
    best = zip(rows.tolist(), columns.tolist(), strict=True)
    matched = [(row, column) for row, column in best if weights[row, column] > 0]
    taken_rows, taken_columns = {row for row, _ in matched}, {column for _, column in matched}
    return Aligned(
        pairs=tuple(Pair(first[row], second[column], float(weights[row, column])) for row, column in matched),
        first_alone=tuple(segment for row, segment in enumerate(first) if row not in taken_rows),
        second_alone=tuple(segment for column, segment in enumerate(second) if column not in taken_columns),
    )


def moments_of(pairs: Iterable[Pair]) -> tuple[tuple[Segment, ...], ...]:
    """Join pairs among any number of analysts into moments with at most one segment an analyst.

    The nearest pairs are joined first; a pair that would bring a second segment of the same analyst
    into a moment is left apart.
    """
    moments: dict[tuple[str, int], dict[str | None, Segment]] = {}
    for pair in sorted(pairs, key=lambda pair: (-pair.nearness, _place(pair.first), _place(pair.second))):
        one = moments.setdefault(_place(pair.first), {pair.first.analyst: pair.first})
        other = moments.setdefault(_place(pair.second), {pair.second.analyst: pair.second})
        if one.keys() & other.keys():
            continue
        joined = one | other
        for segment in joined.values():
            moments[_place(segment)] = joined
    distinct = {id(moment): moment for moment in moments.values() if len(moment) > 1}
    return tuple(tuple(moment.values()) for moment in distinct.values())


def _extent(start: Fraction, end: Fraction | None, end_given: bool) -> Extent:
    if not end_given or end is None:
        return start, start
    return min(start, end), max(start, end)


def _place(segment: Segment) -> tuple[str, int]:
    return segment.file, segment.line
