"""What stands beside an act: in the same note, right after it, next in its round. Nothing reaches into another round,
and nothing is held against a time that counts on another clock."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction

from fightnotes.model import FOOTAGE, Bout
from fightnotes.reading.placing import seconds_gone
from fightnotes.tally.acts import CountedAct
from fightnotes.tally.figures import did_succeed

AT_ONCE = 5
"""Seconds after the beginning of an act within which the other's is taken for an answer: by hand, no source."""
HURTING = ("hurt", "knockdown", "stoppage")
"""Outcomes that tell of the one who was hit, also where they are noted in the next moment of the round."""

Clocked = tuple[str, int, str]
"""A bout, a round of it, and the clock that times there count on."""


@dataclass(frozen=True)
class ClockedAct:
    line: Clocked
    second: Fraction
    act: CountedAct


def placed(acts: Iterable[CountedAct], bouts: dict[str, Bout]) -> Iterator[ClockedAct]:
    """Acts that have a round and a time in it."""
    for act in acts:
        if act.round is None:
            continue
        gone = seconds_gone(act.segment, bouts[act.bout])
        on = FOOTAGE if act.segment.footage_start is not None else act.segment.timed_on
        if gone is not None:
            yield ClockedAct((act.bout, act.round, "round"), gone, act)
        elif act.time is not None:
            yield ClockedAct((act.bout, act.round, on), act.time, act)


@dataclass(frozen=True, eq=False)
class Nearby:
    """All acts of some bouts, to be looked up by what they stand beside; `nearby` makes one."""

    by_segment: dict[int, list[CountedAct]]
    times: dict[Clocked, list[Fraction]]
    acts: dict[Clocked, list[CountedAct]]
    place: dict[int, tuple[Clocked, Fraction]]
    """By the identity of an act that has a place."""

    def in_the_same_note(self, act: CountedAct) -> list[CountedAct]:
        found = {id(one): one for number in act.ids for one in self.by_segment.get(number, ()) if one is not act}
        return list(found.values())

    def within(self, act: CountedAct, seconds: int) -> list[CountedAct]:
        """Those that begin so many seconds after it, or with it."""
        if id(act) not in self.place:
            return []
        line, second = self.place[id(act)]
        times = self.times[line]
        among = self.acts[line][bisect_left(times, second) : bisect_right(times, second + seconds)]
        return [one for one in among if one is not act]

    def next_moment(self, act: CountedAct) -> list[CountedAct]:
        """All that begin with the first that begins later."""
        if id(act) not in self.place:
            return []
        line, second = self.place[id(act)]
        times = self.times[line]
        begin = bisect_right(times, second)
        return self.acts[line][begin : bisect_right(times, times[begin])] if begin < len(times) else []

    def answers(self, act: CountedAct) -> list[CountedAct]:
        """What another than its actor did about it that succeeded: in the same note, or begun within `AT_ONCE`."""
        beside = {id(one): one for one in (*self.in_the_same_note(act), *self.within(act, AT_ONCE))}
        return [one for one in beside.values() if is_of_another(act, one) and did_succeed(one)]

    def costs(self, act: CountedAct) -> list[CountedAct]:
        """Its answers, and what hurt its actor in the next moment of the round."""
        found = {id(one): one for one in self.answers(act)}
        for one in self.next_moment(act):
            if is_of_another(act, one) and any(outcome in HURTING for outcome in one.fields.outcome):
                found[id(one)] = one
        return list(found.values())


def nearby(acts: Iterable[CountedAct], bouts: dict[str, Bout]) -> Nearby:
    every = list(acts)
    by_segment: dict[int, list[CountedAct]] = defaultdict(list)
    for act in every:
        for number in act.ids:
            by_segment[number].append(act)
    by_line: dict[Clocked, list[ClockedAct]] = defaultdict(list)
    for one in placed(every, bouts):
        by_line[one.line].append(one)
    for line in by_line.values():
        line.sort(key=lambda one: one.second)
    return Nearby(
        by_segment,
        {line: [one.second for one in several] for line, several in by_line.items()},
        {line: [one.act for one in several] for line, several in by_line.items()},
        {id(one.act): (line, one.second) for line, several in by_line.items() for one in several},
    )


def is_of_another(act: CountedAct, other: CountedAct) -> bool:
    """Whether it is written who does both, and they share nobody."""
    return bool(act.fields.by and other.fields.by) and not set(act.fields.by) & set(other.fields.by)
