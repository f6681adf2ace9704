"""Which moments make a reel of a target duration."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from fractions import Fraction
from math import sqrt

from fightnotes.cutting.placing import Placed


def choose(placed: Sequence[Placed], target: Fraction) -> tuple[list[Placed], list[Placed]]:
    """The best moments that fit into `target` seconds, spread over the bouts, and those left over.

    A moment's worth is its rank: with n moments the most relevant is worth 1, the next 1 - 1/n, and so on (those
    without a relevance follow, in the order given). The worth of a reel is the sum, over bouts, of the square
    root of the summed worth of that bout's moments: each further moment of a bout adds less, so another bout's
    moment comes first unless it is clearly worse. Moments are taken one by one, always the one that adds most
    and still fits (the higher ranked where two add the same), until none fits. Where a moment overlaps or
    touches others of its source, only the frames that it adds count, as they will be merged. The total never
    exceeds the target. The square-root reward for spreading over groups is that of Lin and Bilmes (2011), "A
    Class of Submodular Functions for Document Summarization"; their division by cost is left out, as it would
    favour short moments over good ones.

    Both results are in the order given.
    """
    ranked = sorted(placed, key=_rank)
    worth = {id(item): 1 - rank / len(ranked) for rank, item in enumerate(ranked)}
    taken_worth: dict[str, float] = defaultdict(float)
    taken_frames: dict[tuple[str, str], list[tuple[int, int]]] = defaultdict(list)
    chosen: set[int] = set()
    room = target
    remaining = ranked
    while True:
        # What does not fit now never fits later unless a neighbour is taken, so all are looked at again.
        costs = {id(item): _added(item, taken_frames[item.source]) / item.rate for item in remaining}
        fitting = [item for item in remaining if costs[id(item)] <= room]
        if not fitting:
            break

        def gain(item: Placed) -> float:
            held = taken_worth[item.candidate.bout.id]
            return sqrt(held + worth[id(item)]) - sqrt(held)

        best = max(fitting, key=gain)
        room -= costs[id(best)]
        taken_worth[best.candidate.bout.id] += worth[id(best)]
        taken_frames[best.source] = _with(best, taken_frames[best.source])
        chosen.add(id(best))
        remaining = [item for item in remaining if item is not best]
    return [item for item in placed if id(item) in chosen], [item for item in placed if id(item) not in chosen]


def _rank(item: Placed) -> tuple[bool, float, int]:
    relevance = item.candidate.relevance
    return (relevance is None, -(relevance or 0.0), item.place)


def _added(item: Placed, taken: Sequence[tuple[int, int]]) -> int:
    """Frames of the item that no taken span shows yet; the spans are apart from each other."""
    start, end = item.start_frame, item.end_frame_exclusive
    return end - start - sum(max(0, min(end, e) - max(start, s)) for s, e in taken)


def _with(item: Placed, taken: Sequence[tuple[int, int]]) -> list[tuple[int, int]]:
    start, end = item.start_frame, item.end_frame_exclusive
    apart = [(s, e) for s, e in taken if e < start or s > end]
    touched = [(s, e) for s, e in taken if not (e < start or s > end)]
    return [*apart, (min([start, *(s for s, _ in touched)]), max([end, *(e for _, e in touched)]))]
