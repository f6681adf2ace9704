"""What follows what: events of a kind that are followed within so many seconds by one of another kind.

Chance is what the same events would give had their kinds been dealt out anew among the events of the same stretch:
times stay where they are. So neither that some kinds are common, nor that much happens at once in an exchange, nor that
the ground has other kinds than the feet, makes one kind follow another. A shift of all times of one kind, the usual
alternative, would take every exchange for a sequence of all that is in it.

A stretch is `STRETCH` times as long as what may lie between two events; the kinds that are about may change from one to
the next. It is the jitter method of A. Amarasingham, M. Harrison, N. Hatsopoulos, S. Geman, "Conditional modeling and
the jitter method of spike resampling", Journal of Neurophysiology 107 (2012), 517-531 (from memory), with kinds in the
place of times. False alarms and power are printed by `tests/bench/planted.py`.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy import stats

from fightnotes.tally.adjust import adjusted
from fightnotes.tally.estimate import Estimate
from fightnotes.tally.rate import poisson_interval

Floats = NDArray[np.float64]
Whole = NDArray[np.intp]

STRETCH = 6
"""Of 5, 6, 7 and 10, the longest that keeps false alarms at 5 % where feet and ground change at a stroke; simulated."""
FEWEST_OF_A_KIND = 5
"""Events of a kind below which it is not asked what it follows: common practice, no source. It goes by how common the
kind is and not by what was found, so that it favours nothing."""
SHUFFLES = 999
_SEED = 0
_FEW_REACH_IT = 10
"""Shuffles that reach the count, below which their share is too rough for a p value."""
_SAME = 1e-6
"""Seconds that are no difference: floats."""


@dataclass(frozen=True, eq=False)
class Events:
    """By group, and in it by time."""

    place: Floats
    """(events,): seconds, each group wholly behind the one before."""
    end: Whole
    """(events,): where the group of each ends."""
    kind: NDArray[np.str_]
    given: Whole
    """(events,): where each stood in what was given."""


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
    """`count` over `expected`, which is taken as known; None where that is 0."""
    p_value: float
    """One-sided: so many or more by chance."""
    adjusted: float | None = None
    """For all pairs of kinds that were asked about, also those that never follow; None of a chain by itself."""


def events_of(groups: ArrayLike, seconds: ArrayLike, kinds: ArrayLike) -> Events:
    """One entry an event in each: what it is in (a bout, or better a round of it), when, and its kind.

    Nothing follows from one group to the next. Times of a group count on one clock, to a thousandth of a second; an
    event with two kinds is two events. ValueError where a time is no finite number.
    """
    second, kind = np.asarray(seconds, dtype=np.float64), np.asarray(kinds, dtype=np.str_)
    if not np.isfinite(second).all():
        raise ValueError("an event without a time follows nothing")
    group = np.unique(np.asarray(groups), return_inverse=True)[1].reshape(-1)
    given = np.lexsort((second, group))
    group, second = group[given], second[given]
    length = float(np.ptp(second)) + 1 if len(second) else 1.0
    end = np.searchsorted(group, group, side="right")
    return Events(second + group * length, end, kind[given], given)


def pairs(events: Events, within: float) -> tuple[Following, ...]:
    """All pairs of kinds of which one followed the other within so many seconds, the surest first.

    What is at the same time does not follow. ValueError where `within` is not above 0.
    """
    kinds, code = _common_kinds(events.kind)
    others = len(kinds)
    lead, follow = _links(events, within)
    latest = np.zeros(len(code) * (others + 1), dtype=np.intp)

    def counted(code: Whole) -> Floats:
        """(kinds * kinds,): leads of one kind with a follower of the other."""
        keys = lead * (others + 1) + code[follow]
        here = np.arange(len(keys))
        latest[keys] = here
        once = latest[keys] == here
        both = code[lead[once]] * (others + 1) + code[follow[once]]
        table = np.bincount(both, minlength=(others + 1) ** 2).reshape(others + 1, others + 1)
        return table[:others, :others].ravel().astype(np.float64)

    count = counted(code)
    chance = _by_chance(counted, count, code, _stretches(events, within))
    of = np.bincount(code, minlength=others + 1)[:others]
    p_values = chance.p_values(count, np.repeat(of, others).astype(np.float64))
    held = adjusted(p_values.tolist())
    found = [
        Following(
            kinds=(str(kinds[pair // others]), str(kinds[pair % others])),
            count=int(count[pair]),
            of=int(of[pair // others]),
            expected=float(chance.mean[pair]),
            lift=_lift(int(count[pair]), float(chance.mean[pair])),
            p_value=float(p_values[pair]),
            adjusted=held[pair],
        )
        for pair in np.flatnonzero(count).tolist()
    ]
    return tuple(sorted(found, key=lambda each: (each.p_value, -each.count, each.kinds)))


def chain(events: Events, kinds: Sequence[str], within: float) -> Following:
    """Events of the first kind from which the others follow in turn, each within so many seconds of the one before.

    ValueError for fewer than two kinds, and where `within` is not above 0.
    """
    if len(kinds) < 2:
        raise ValueError("a chain has two kinds or more")
    code, asked = _coded(events, kinds)

    def counted(code: Whole) -> Floats:
        return np.array([len(_beginnings(events, code, asked, within)[0])], dtype=np.float64)

    count = counted(code)
    of = int((code == asked[0]).sum())
    chance = _by_chance(counted, count, code, _stretches(events, within))
    return Following(
        kinds=tuple(kinds),
        count=int(count[0]),
        of=of,
        expected=float(chance.mean[0]),
        lift=_lift(int(count[0]), float(chance.mean[0])),
        p_value=float(chance.p_values(count, np.array([max(of, 1.0)]))[0]),
    )


def occurrences(events: Events, kinds: Sequence[str], within: float) -> list[tuple[int, ...]]:
    """Where the events of a chain stood in what was given: one entry for each that `chain` counts, with the next that
    leads on at each step."""
    code, asked = _coded(events, kinds)
    steps = _beginnings(events, code, asked, within)
    rows = [steps[0]]
    for step in steps[1:]:
        rows.append(step[np.searchsorted(events.place[step], events.place[rows[-1]] + _SAME, side="right")])
    return [tuple(row) for row in events.given[np.array(rows, dtype=np.intp)].T.tolist()]


def chains_to(events: Events, kind: str, within: float, length: int) -> list[tuple[tuple[str, ...], int]]:
    """Chains of so many kinds that end in `kind`, with how many events of it they lead to, the commonest first.

    An event counts once for each chain. Common kinds lead to everything; `chain` says what of it is chance. ValueError
    for a length below 2.
    """
    if length < 2:
        raise ValueError("a chain has two kinds or more")
    lead, follow = _links(events, within)
    lead = lead[np.argsort(follow, kind="stable")]
    begins = np.searchsorted(np.sort(follow), np.arange(len(events.kind) + 1))
    names = events.kind.tolist()

    @cache
    def before(event: int, steps: int) -> frozenset[tuple[str, ...]]:
        if steps == 1:
            return frozenset({(names[event],)})
        leads = lead[begins[event] : begins[event + 1]].tolist()
        return frozenset((*chain, names[event]) for one in leads for chain in before(one, steps - 1))

    ends = np.flatnonzero(events.kind == kind).tolist()
    counted = Counter(chain for event in ends for chain in before(event, length))
    return sorted(counted.items(), key=lambda item: (-item[1], item[0]))


def _common_kinds(kind: NDArray[np.str_]) -> tuple[NDArray[np.str_], Whole]:
    """Kinds with `FEWEST_OF_A_KIND` events, and the place among them of each event's; one past them for all others."""
    names, code, counts = np.unique(kind, return_inverse=True, return_counts=True)
    common = counts >= FEWEST_OF_A_KIND
    places = np.where(common, np.cumsum(common) - 1, common.sum())
    return names[common], places[code]


def _coded(events: Events, kinds: Sequence[str]) -> tuple[Whole, Whole]:
    """A number for the kind of each event, and those of the kinds asked for; -1 where there is none."""
    names, code = np.unique(events.kind, return_inverse=True)
    number = {str(name): place for place, name in enumerate(names)}
    return code, np.array([number.get(kind, -1) for kind in kinds], dtype=np.intp)


def _links(events: Events, within: float) -> tuple[Whole, Whole]:
    """(links,) each: an event, and one that follows it within so many seconds."""
    begin = np.searchsorted(events.place, events.place + _SAME, side="right")
    end = np.searchsorted(events.place, events.place + within + _SAME, side="right")
    many = np.minimum(end, events.end) - begin
    lead = np.repeat(np.arange(len(many)), many)
    nth = np.arange(len(lead)) - np.repeat(np.cumsum(many) - many, many)
    return lead, np.repeat(begin, many) + nth


def _beginnings(events: Events, code: Whole, asked: Whole, within: float) -> list[Whole]:
    """For each step of a chain the events of its kind from which the rest runs through."""
    steps = [np.flatnonzero(code == asked[-1])]
    for kind in asked[-2::-1]:
        here = np.flatnonzero(code == kind)
        places = events.place[here]
        then = np.searchsorted(events.place[steps[0]], places + _SAME, side="right")
        last = np.searchsorted(events.place[steps[0]], places + within + _SAME, side="right")
        runs = then < last
        runs[runs] = steps[0][then[runs]] < events.end[here[runs]]
        steps.insert(0, here[runs])
    return steps


def _stretches(events: Events, within: float) -> Whole:
    """(events,): the number of the stretch of its group in which each is; they never go down."""
    if within <= 0:
        raise ValueError("what follows takes more than no time")
    begin = np.searchsorted(events.end, events.end, side="left")
    since = events.place - events.place[begin] if len(begin) else events.place
    new = np.ones(len(since), dtype=bool)
    within_group = np.floor(since / (STRETCH * within))
    new[1:] = (np.diff(within_group) != 0) | (np.diff(events.end) != 0)
    return np.cumsum(new)


@dataclass(frozen=True, eq=False)
class _Chance:
    """What shuffles gave, one entry a chain in each."""

    mean: Floats
    variance: Floats
    reached: Floats
    """Of `SHUFFLES`, those that gave what was found or more."""

    def p_values(self, count: Floats, of: Floats) -> Floats:
        """The share of shuffles that reach the count, this order among them. Of few, what a binomial count of `of` with
        their mean makes of it, or a beta-binomial one where they vary by more: a share of shuffles never goes below one
        in their number, which adjusting for many pairs would wear out."""
        share = (1 + self.reached) / (1 + SHUFFLES)
        chance = np.clip(np.maximum(self.mean, 1 / SHUFFLES) / of, 0, 1 - 1 / SHUFFLES)
        times = self.variance / (of * chance * (1 - chance))
        alike = np.maximum((of - times), _SAME) / np.maximum(times - 1, _SAME)
        mixed = stats.betabinom.sf(count - 1, of, alike * chance, alike * (1 - chance))
        tail = np.where(times > 1 + _SAME, mixed, stats.binom.sf(count - 1, of, chance))
        few = (self.reached < _FEW_REACH_IT) & (tail < share)
        return np.asarray(np.where(few, tail, share), dtype=np.float64)


def _by_chance(counted: Callable[[Whole], Floats], count: Floats, code: Whole, stretches: Whole) -> _Chance:
    rng = np.random.default_rng(_SEED)
    total, squares, reached = (np.zeros_like(count) for _ in range(3))
    for _ in range(SHUFFLES):
        found = counted(code[np.argsort(stretches + rng.random(len(stretches)))])
        total += found
        squares += found**2
        reached += found >= count
    mean = total / SHUFFLES
    return _Chance(mean, squares / SHUFFLES - mean**2, reached)


def _lift(count: int, expected: float) -> Estimate | None:
    if expected == 0:
        return None
    low, high = poisson_interval(count)
    return Estimate(count / expected, low / expected, high / expected)
