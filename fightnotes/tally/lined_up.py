"""Acts on the clocks on which one can follow another."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from fightnotes.model import Bout
from fightnotes.reading.placing import seconds_gone
from fightnotes.tally.acts import CountedAct

Clock = tuple[str, ...]
"""A round of a bout; what lies in none has the footage, or its own recording."""

TOLD_APART = 1e-5
"""Seconds by which what is written at one time is put apart, in the order in which it is written."""
MOST_TOLD_APART = 1e-3
"""Seconds that a hundred of them make."""


@dataclass(frozen=True)
class LinedUp:
    acts: tuple[CountedAct, ...]
    """Tagged, and with a time; in the order in which they are told."""
    clocks: tuple[str, ...]
    """Of each; nothing follows from one to another."""
    seconds: tuple[float, ...]
    """On that clock."""
    untimed: int
    """Acts that no time places."""
    untagged: int


def line_up(acts: Iterable[CountedAct], bouts: Mapping[str, Bout], *, one_after_another: bool) -> LinedUp:
    """With `one_after_another` what one file has at one time follows in the order written: within a note the order of
    tags is the order told (common practice, no source). Where several files tell of a time, that order is not known.
    """
    told = tuple(acts)
    tagged = [act for act in told if act.concept is not None]
    placed = [(act, place) for act in tagged if (place := _place(act, bouts[act.bout])) is not None]
    at_once: dict[tuple[Clock, float], list[int]] = defaultdict(list)
    for number, (_, place) in enumerate(placed):
        at_once[place].append(number)
    seconds = [place[1] for _, place in placed]
    for numbers in at_once.values() if one_after_another else ():
        if len({placed[number][0].segment.file for number in numbers}) == 1:
            for rank, number in enumerate(numbers):
                seconds[number] += rank * TOLD_APART
    return LinedUp(
        acts=tuple(act for act, _ in placed),
        clocks=tuple("\n".join(clock) for _, (clock, _) in placed),
        seconds=tuple(seconds),
        untimed=len(tagged) - len(placed),
        untagged=len(told) - len(tagged),
    )


def _place(act: CountedAct, bout: Bout) -> tuple[Clock, float] | None:
    segment = act.segment
    gone = seconds_gone(segment, bout) if act.round is not None else None
    if gone is not None:
        return (act.bout, "round", str(act.round)), float(gone)
    if segment.footage_start is not None:
        return (act.bout, "footage"), float(segment.footage_start)
    return None if segment.start is None else ((act.bout, "recording", segment.timed_on), float(segment.start))


def at_one_time(run: Sequence[CountedAct]) -> bool:
    """Whether all of them start at one time, so that their order is that of the writing alone."""
    return len({(act.segment.clock_start, act.segment.footage_start, act.segment.start) for act in run}) == 1
