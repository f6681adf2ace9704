"""Which stance each fighter holds at a moment, and the pairing that follows."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from fightnotes.model import Bout, Pairing, Segment

_SIDES = ("orthodox", "southpaw")
_BEGINNING = Fraction(-1)
"""Before every time of the footage."""


@dataclass(frozen=True)
class StanceChange:
    """From `time` on, in footage seconds, fighters (by id) hold the stances given."""

    time: Fraction
    stances: tuple[tuple[str, str], ...]


def pairing_of(bout: Bout, held: dict[str, str]) -> Pairing:
    """Open where orthodox meets southpaw, closed where they are alike; unknown while one switches or is not given."""
    sides = [held.get(fighter.id) for fighter in bout.fighters]
    if len(sides) != 2 or any(side not in _SIDES for side in sides):
        return "unknown"
    return "closed" if sides[0] == sides[1] else "open"


def with_stances(
    bout: Bout,
    segments: Sequence[Segment],
    written: Sequence[tuple[tuple[str, str], ...]],
    earlier: Sequence[StanceChange] = (),
) -> tuple[list[Segment], list[StanceChange]]:
    """One file's segments with the stances held at each, and all the changes known then, in order of time.

    `written` are the fighter ids and stances that each segment's own fields give, which hold from it on;
    `earlier` are the changes known from the bout's other notes. A segment without a place on the
    footage stands at the one before it in the file. The front matter's stances hold until the first change.
    """
    times: list[Fraction] = []
    for segment in segments:
        before = times[-1] if times else _BEGINNING
        times.append(before if segment.footage_start is None else segment.footage_start)
    changes = [StanceChange(time, stances) for time, stances in zip(times, written, strict=True)]
    events = [*((change, None) for change in earlier), *((change, index) for index, change in enumerate(changes))]
    events.sort(key=lambda event: event[0].time)

    held = {fighter.id: str(fighter.stance) for fighter in bout.fighters if fighter.stance}
    followed = list(segments)
    for change, index in events:
        held = {**held, **dict(change.stances)}
        if index is not None:
            followed[index] = segments[index].model_copy(update={"stances": held, "pairing": pairing_of(bout, held)})
    return followed, [change for change, _ in events if change.stances]
