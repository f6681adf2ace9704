"""What follows what: events of a kind that are followed within so many seconds by one of another kind.

Chance is what the same events would give had their kinds been dealt out anew among the events of the same stretch:
times stay where they are. So neither that some kinds are common, nor that much happens at once in an exchange, nor that
the ground has other kinds than the feet, makes one kind follow another. A shift of all times of one kind, the usual
alternative, would take every exchange for a sequence of all that is in it.

A stretch is `STRETCH` times as long as what may lie between two events; the kinds that are about may change from one to
the next. It is the jitter method of A. Amarasingham, M. Harrison, N. Hatsopoulos, S. Geman, "Conditional modeling and
the jitter method of spike resampling", Journal of Neurophysiology 107 (2012), 517-531 (from memory), with kinds in the
place of times. False alarms and power are printed by `tests/bench/planted.py`.

Where it is asked what the same fighter does next, or what the other one answers, kinds are dealt out anew among the
events of one actor: who acts when stays, so that taking turns makes no kind an answer to another.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Literal

import numpy as np
from scipy import sparse

from fightnotes.pages.numbers import number
from fightnotes.tally.adjust import adjusted
from fightnotes.tally.chance import by_chance
from fightnotes.tally.estimate import Estimate
from fightnotes.tally.events import Events, Flags, Floats, Sparse, Whole
from fightnotes.tally.proportion import share

Who = Literal["either", "same", "other"]
"""Who does what follows: whoever it is, the actor of what it follows, or another known one."""
STRETCH = 6
"""Of 5, 6, 7 and 10, the longest that keeps false alarms at 5 % where feet and ground change at a stroke; simulated."""
FEWEST_OF_A_KIND = 5
"""Events of a kind below which it is not asked what it follows: common practice, no source. It goes by how common the
kind is and not by what was found, so that it favours nothing."""
_SAME = 1e-6
"""Seconds that are no difference: floats."""


@dataclass(frozen=True)
class Following:
    kinds: tuple[str, ...]
    count: int
    """Events of the first kind from which the chain runs through; each counts once."""
    of: int
    """Events of the first kind."""
    expected: float
    """By chance."""
    lift: Estimate | None
    """`count` over `expected`, with the interval of the share `count` of `of`; `expected` is taken as known. None where
    that is 0."""
    p_value: float
    """One-sided: so many or more by chance."""
    adjusted: float | None = None
    """For all pairs of kinds that were asked about, also those that never follow; None of a chain by itself."""

    @property
    def by_chance(self) -> str:
        """`expected` as a person reads it."""
        return number(self.expected)


def pairs(
    events: Events,
    within: float,
    who: Who = "either",
    *,
    leads: Collection[str] | None = None,
    follows: Collection[str] | None = None,
) -> tuple[Following, ...]:
    """All pairs of kinds of which one followed the other within so many seconds, the surest first.

    `leads` and `follows` are the kinds that are asked about on either side; all, if not given. What is at the same time
    does not follow. ValueError where `within` is not above 0.
    """
    first, of_first = _common_kinds(events, leads)
    then, of_then = _common_kinds(events, follows)
    linked = _linked(events, within, who)

    def counted(order: Whole) -> Floats:
        return _leads(of_first[order], of_then[order], linked).ravel()

    count = counted(np.arange(len(events.place)))
    chance = by_chance(counted, count, _dealt_among(events, within, who))
    of = np.asarray(of_first.sum(axis=0), dtype=np.intp)
    p_values = chance.p_values(count, np.repeat(of, len(then)).astype(np.float64))
    held = adjusted(p_values.tolist())
    found = [
        Following(
            kinds=(first[pair // len(then)], then[pair % len(then)]),
            count=int(count[pair]),
            of=int(of[pair // len(then)]),
            expected=float(chance.mean[pair]),
            lift=_lift(int(count[pair]), int(of[pair // len(then)]), float(chance.mean[pair])),
            p_value=float(p_values[pair]),
            adjusted=held[pair],
        )
        for pair in np.flatnonzero(count).tolist()
    ]
    return tuple(sorted(found, key=lambda each: (each.p_value, -each.count, each.kinds)))


def pair_counts(
    events: Events, leads: Sequence[str], follows: Sequence[str], within: float, who: Who = "either"
) -> list[list[int]]:
    """(leads, follows): how many events of each lead each of the others follows; chance is not asked."""
    if not leads or not follows:
        return []
    of_lead, of_follow = (
        sparse.csr_array(np.array([events.are(kind) for kind in kinds], dtype=np.int32).reshape(len(kinds), -1).T)
        for kinds in (leads, follows)
    )
    counted = _leads(of_lead, of_follow, _linked(events, within, who))
    return [[int(count) for count in row] for row in counted]


def chains(
    events: Events, ways: Sequence[Sequence[str]], within: float, who: Who = "either", *, of_last: bool = False
) -> tuple[Following, ...]:
    """For each way, two kinds or more: events of its first kind from which the others follow in turn, each within so
    many seconds of the one before; with `of_last` events of the last kind that the others lead to.

    ValueError for a way of fewer than two kinds, and where `within` is not above 0.
    """
    if not ways:
        return ()
    if any(len(kinds) < 2 for kinds in ways):
        raise ValueError("a chain has two kinds or more")
    links = _links(events, within, who)
    if of_last:
        links = links[::-1]
    steps = [[events.are(kind) for kind in (kinds[::-1] if of_last else kinds)] for kinds in ways]

    def counted(order: Whole) -> Floats:
        runs = [_leading([step[order] for step in each], links)[0].sum() for each in steps]
        return np.array(runs, dtype=np.float64)

    count = counted(np.arange(len(events.place)))
    of = np.array([each[0].sum() for each in steps], dtype=np.intp)
    chance = by_chance(counted, count, _dealt_among(events, within, who))
    p_values = chance.p_values(count, np.maximum(of, 1).astype(np.float64))
    return tuple(
        Following(
            kinds=tuple(kinds),
            count=int(count[place]),
            of=int(of[place]),
            expected=float(chance.mean[place]),
            lift=_lift(int(count[place]), int(of[place]), float(chance.mean[place])),
            p_value=float(p_values[place]),
        )
        for place, kinds in enumerate(ways)
    )


def chain(
    events: Events, kinds: Sequence[str], within: float, who: Who = "either", *, of_last: bool = False
) -> Following:
    """The one of `chains`."""
    return chains(events, [kinds], within, who, of_last=of_last)[0]


def occurrences(
    events: Events, kinds: Sequence[str], within: float, who: Who = "either", *, of_last: bool = False
) -> list[tuple[int, ...]]:
    """Where the events of a chain stood in what was given: one entry for each that `chain` counts, with the nearest
    that leads on at each step."""
    steps, (lead, follow) = _way(events, kinds, within, who, of_last)
    steps = _leading(steps, (lead, follow))
    rows = [np.flatnonzero(steps[0])]
    for step in steps[1:]:
        on = step[follow]
        places, firsts = np.unique(lead[on], return_index=True)
        rows.append(follow[on][firsts[np.searchsorted(places, rows[-1])]])
    if of_last:
        rows.reverse()
    return [tuple(row) for row in events.given[np.array(rows, dtype=np.intp)].T.tolist()]


def chains_to(
    events: Events,
    ends: Collection[str],
    within: float,
    length: int,
    who: Who = "either",
    *,
    firsts: Collection[str] | None = None,
) -> list[tuple[tuple[str, ...], int]]:
    """Chains of so many kinds that end in one of `ends`, with how many events of it they lead to, the commonest first.

    `firsts` are kinds with which alone a chain begins; neither they nor `ends` stand between. An event counts once for
    each chain. Common kinds lead to everything; `chain` says what of it is chance. ValueError for a length below 2.
    """
    if length < 2:
        raise ValueError("a chain has two kinds or more")
    lead, follow = _links(events, within, who)
    lead = lead[np.argsort(follow, kind="stable")]
    begins = np.searchsorted(np.sort(follow), np.arange(len(events.place) + 1))
    names = [
        [events.kinds[kind] for kind in row.tolist()]
        for row in np.split(events.of_kind.indices, events.of_kind.indptr[1:-1])
    ]
    between = set(events.kinds) - {*ends, *(firsts or ())}
    beginning = between if firsts is None else set(firsts)

    @cache
    def before(event: int, steps: int) -> frozenset[tuple[str, ...]]:
        """Ways of so many steps that lead up to the event, itself the last."""
        if steps == 1:
            return frozenset((name,) for name in names[event] if name in beginning)
        here = [name for name in names[event] if name in between]
        return frozenset((*way, name) for way in leading_to(event, steps - 1) for name in here)

    def leading_to(event: int, steps: int) -> frozenset[tuple[str, ...]]:
        return frozenset().union(*(before(one, steps) for one in lead[begins[event] : begins[event + 1]].tolist()))

    counted: Counter[tuple[str, ...]] = Counter()
    for event, own in enumerate(names):
        last = [name for name in own if name in ends]
        counted.update((*way, name) for way in (leading_to(event, length - 1) if last else ()) for name in last)
    return sorted(counted.items(), key=lambda item: (-item[1], item[0]))


def _common_kinds(events: Events, asked: Collection[str] | None) -> tuple[list[str], Sparse]:
    """Of the kinds asked for those with `FEWEST_OF_A_KIND` events, and which events are of each."""
    counts = np.asarray(events.of_kind.sum(axis=0))
    common = [
        place
        for place, name in enumerate(events.kinds)
        if counts[place] >= FEWEST_OF_A_KIND and (asked is None or name in asked)
    ]
    return [events.kinds[place] for place in common], events.of_kind[:, common]


def _links(events: Events, within: float, who: Who) -> tuple[Whole, Whole]:
    """(links,) each: an event, and one that follows it within so many seconds; in order."""
    begin = np.searchsorted(events.place, events.place + _SAME, side="right")
    end = np.searchsorted(events.place, events.place + within + _SAME, side="right")
    many = np.minimum(end, events.end) - begin
    lead = np.repeat(np.arange(len(many)), many)
    nth = np.arange(len(lead)) - np.repeat(np.cumsum(many) - many, many)
    follow = np.repeat(begin, many) + nth
    if who == "either":
        return lead, follow
    first, then = events.actor[lead], events.actor[follow]
    right = (first >= 0) & (then >= 0) & ((first == then) == (who == "same"))
    return lead[right], follow[right]


def _way(
    events: Events, kinds: Sequence[str], within: float, who: Who, back: bool
) -> tuple[list[Flags], tuple[Whole, Whole]]:
    """The events of each step and what leads to what, the nearest first; `back` from the last step on."""
    steps, (lead, follow) = [events.are(kind) for kind in kinds], _links(events, within, who)
    return (steps[::-1], (follow[::-1], lead[::-1])) if back else (steps, (lead, follow))


def _linked(events: Events, within: float, who: Who) -> Sparse:
    """(events, events): 1 where the second follows the first."""
    lead, follow = _links(events, within, who)
    many = len(events.place)
    return sparse.csr_array((np.ones(len(lead), dtype=np.int32), (lead, follow)), shape=(many, many))


def _leads(of_first: Sparse, of_then: Sparse, linked: Sparse) -> Floats:
    """(first, then): events of one kind with a follower of the other."""
    followed = linked @ of_then
    followed.data[:] = 1
    return np.asarray((of_first.T @ followed).toarray(), dtype=np.float64)


def _leading(steps: Sequence[Flags], links: tuple[Whole, Whole]) -> list[Flags]:
    """For each step of a chain the events of its kind from which the rest runs through."""
    lead, follow = links
    runs = [steps[-1]]
    for step in steps[-2::-1]:
        leads = np.zeros(len(step), dtype=np.bool_)
        leads[lead[runs[0][follow]]] = True
        runs.insert(0, step & leads)
    return runs


def _dealt_among(events: Events, within: float, who: Who) -> Whole:
    """(events,): a number for those among which kinds are dealt out anew: the stretch of its group in which each is,
    and where it is asked who acts its actor."""
    if within <= 0:
        raise ValueError("what follows takes more than no time")
    begin = np.searchsorted(events.end, events.end, side="left")
    since = events.place - events.place[begin] if len(begin) else events.place
    new = np.ones(len(since), dtype=bool)
    within_group = np.floor(since / (STRETCH * within))
    new[1:] = (np.diff(within_group) != 0) | (np.diff(events.end) != 0)
    stretch = np.cumsum(new)
    actors = int(events.actor.max(initial=-1)) + 2
    return stretch if who == "either" else stretch * actors + events.actor + 1


def _lift(count: int, of: int, expected: float) -> Estimate | None:
    held = share(count, of)
    if held is None or expected == 0:
        return None
    return Estimate(*(each * of / expected for each in (held.value, held.low, held.high)))
