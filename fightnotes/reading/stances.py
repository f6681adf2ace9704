"""Which stance each fighter holds at a moment, and the pairing that follows."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable
from fractions import Fraction

from fightnotes.model import Bout, Pairing, Segment

_SIDES = ("orthodox", "southpaw")


def first_stances(bout: Bout) -> dict[str, str]:
    """By fighter id, as the front matter gives them."""
    return {fighter.id: fighter.stance for fighter in bout.fighters if fighter.stance}


def pairing_of(bout: Bout, held: dict[str, str]) -> Pairing:
    """Open where orthodox meets southpaw, closed where they are alike; unknown while one switches or is not given."""
    sides = [held.get(fighter.id) for fighter in bout.fighters]
    if len(sides) != 2 or any(side not in _SIDES for side in sides):
        return "unknown"
    return "closed" if sides[0] == sides[1] else "open"


def follow_stances(bout: Bout, notes: Iterable[Segment], segments: Iterable[Segment]) -> list[Segment]:
    """`segments` of another source with the stances that the bout's own notes give for their time."""
    changes = sorted(
        ((note.footage_start, note.stances) for note in notes if note.footage_start is not None),
        key=lambda change: change[0],
    )
    times: list[Fraction] = [time for time, _ in changes]
    followed = []
    for segment in segments:
        before = bisect_right(times, segment.footage_start) if segment.footage_start is not None else 0
        held = changes[before - 1][1] if before else first_stances(bout)
        followed.append(segment.model_copy(update={"stances": held, "pairing": pairing_of(bout, held)}))
    return followed
