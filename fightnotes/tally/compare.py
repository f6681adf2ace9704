"""Two fighters, two bouts, or before and after a day: what was done how often, and how it came out, side by side."""

from __future__ import annotations

import datetime
from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal

import numpy as np
from numpy.typing import NDArray

from fightnotes.errors import UsageError
from fightnotes.index.store import Store
from fightnotes.model import Bout, fold, unknown_name
from fightnotes.search.filters import Filters
from fightnotes.search.people import fighters_by_form
from fightnotes.tally.acts import CountedAct
from fightnotes.tally.adjust import adjusted
from fightnotes.tally.basis import Basis, basis_of, counts_for
from fightnotes.tally.coverage import Coverage, NotedRound
from fightnotes.tally.difference import Difference, Side, difference_of_rates, difference_of_successes
from fightnotes.tally.dimensions import DIMENSIONS, EVERY, Every, Value, plain_value
from fightnotes.tally.estimate import Estimate, p_value
from fightnotes.tally.figures import Figures, did_succeed, figures_of, plain_estimate, plain_number, seen_in
from fightnotes.tally.so_many import so_many
from fightnotes.tally.strata import FEWEST_BOUTS, Floats
from fightnotes.tally.trend import LEVEL

SideName = Literal["first", "second"]
Unit = Literal["round", "minute"]
Verdict = Literal["first", "second", "not clear", "too few"]
"""Which side clearly has more."""


@dataclass(frozen=True)
class Compared:
    """One concept on both sides."""

    concept: Value | Every
    first: Figures
    second: Figures
    rates: Difference
    rates_p: float | None
    """The p value, adjusted for all concepts of the comparison."""
    shares: Difference
    """Of success."""
    shares_p: float | None

    @property
    def called(self) -> str:
        return DIMENSIONS["concept"].shown(self.concept)

    @property
    def more_often(self) -> Verdict:
        """Which side does it clearly more often."""
        return _verdict(self.rates, self.rates_p, 1.0)

    @property
    def more_success(self) -> Verdict:
        """On which side it clearly succeeds more often."""
        return _verdict(self.shares, self.shares_p, 0.0)

    @property
    def is_told(self) -> bool:
        """Whether anything may be said of it."""
        return {self.more_often, self.more_success} != {"too few"}

    @property
    def rates_size(self) -> tuple[str, str]:
        """How much more often, and how sure that is; empty where too few are noted."""
        return (self.rates.effect.times, p_value(self.rates_p)) if self.rates.effect else ("", "")

    @property
    def shares_size(self) -> tuple[str, str]:
        """The same of success, in hundredths."""
        return (self.shares.effect.points, p_value(self.shares_p)) if self.shares.effect else ("", "")

    def as_json(self) -> dict[str, Any]:
        """Plain values; what nothing bounds is None."""
        return {
            "concept": plain_value(self.concept),
            "first": self.first.as_json(),
            "second": self.second.as_json(),
            "rates": {**_plain(self.rates, self.rates_p), "more_often": self.more_often},
            "success": {**_plain(self.shares, self.shares_p), "more_success": self.more_success},
        }


def _verdict(difference: Difference, p_value: float | None, level: float) -> Verdict:
    if difference.effect is None:
        return "too few"
    if p_value is None or p_value >= LEVEL or difference.effect.value == level:
        return "not clear"
    return "first" if difference.effect.value > level else "second"


def _plain(difference: Difference, p_value: float | None) -> dict[str, Any]:
    return {
        "effect": plain_estimate(difference.effect),
        "p": plain_number(difference.p_value),
        "p_adjusted": plain_number(p_value),
        "too_few": difference.too_few,
    }


@dataclass(frozen=True)
class SideBySide:
    first: str
    second: str
    """What the sides are called."""
    unit: Unit
    """Rates are for each round where all noted rounds are as long, else for each minute."""
    coverage: tuple[Coverage, Coverage]
    concepts: tuple[Compared, ...]
    """What was done most first; EVERY is all acts together, and comes last."""
    notices: tuple[str, ...]

    def rate(self, figures: Figures) -> Estimate | None:
        return figures.per_round if self.unit == "round" else figures.per_minute

    def often_said(self, each: Compared) -> str:
        """Who does it more often, by name, or why that is not said."""
        names: dict[str, str] = {"first": self.first, "second": self.second}
        return f"{names[each.more_often]} more often" if each.more_often in names else each.more_often

    def success_said(self, each: Compared) -> str:
        """The same of success."""
        names: dict[str, str] = {"first": self.first, "second": self.second}
        return f"{names[each.more_success]} more" if each.more_success in names else each.more_success

    @property
    def told(self) -> tuple[Compared, ...]:
        """Those of which something may be said."""
        return tuple(each for each in self.concepts if each.is_told)

    @property
    def below(self) -> tuple[str, ...]:
        """Of what too few are noted, how much was looked at on each side, what a reader of the numbers has to know."""
        few = [f"{one.called} ({one.first.count} and {one.second.count})" for one in self.concepts if not one.is_told]
        sides = zip((self.first, self.second), self.coverage, strict=True)
        return (
            *([f"too few to say: {', '.join(few)}"] if few else ()),
            *(f"{name}: {coverage}" for name, coverage in sides),
            *self.notices,
        )

    def as_json(self) -> dict[str, Any]:
        """Plain values."""
        return {
            "first": self.first,
            "second": self.second,
            "unit": self.unit,
            "coverage": [each.model_dump() for each in self.coverage],
            "notices": list(self.notices),
            "concepts": [each.as_json() for each in self.concepts],
        }


@dataclass(frozen=True)
class _Asked:
    """A side: what it is called, and what belongs to it."""

    name: str
    has_act: Callable[[CountedAct], bool]
    has_bout: Callable[[Bout], bool]


@dataclass(frozen=True, eq=False)
class _Looked:
    """A side with its noted rounds."""

    acts: tuple[CountedAct, ...]
    noted: Mapping[tuple[str, int], NotedRound]
    coverage: Coverage
    place: Mapping[tuple[str, int], int]
    """Of each round that has an exposure, in the arrays."""
    exposures: Floats
    bouts: NDArray[np.intp]

    @property
    def bouts_noted(self) -> set[str]:
        return {one.bout for one in self.noted.values()}

    def rates(self, acts: Iterable[CountedAct]) -> Side:
        places = [self.place[act.bout, act.round] for act in acts if act.round and (act.bout, act.round) in self.place]
        counts = np.bincount(np.array(places, dtype=np.intp), minlength=len(self.place)).astype(np.float64)
        return Side(counts, self.exposures, self.bouts)

    def figures(self, acts: Iterable[CountedAct], rated: bool) -> Figures:
        return figures_of(tuple(acts), self.noted, seen_in(self.noted.values()) if rated else None)


def compare(
    store: Store,
    sides: Sequence[str],
    filters: Filters = Filters(),  # noqa: B008  immutable
    *,
    before: datetime.date | None = None,
    inferred: bool = False,
) -> SideBySide:
    """Two fighters or two bouts by name, or with `before` the days before one and from it on: of all, or of a fighter.

    Raises UsageError for sides that cannot be told apart, UnknownName for a name that is no fighter and no bout.
    """
    asked = _before(store, sides, before) if before else _named(store, sides)
    basis = basis_of(store, filters, inferred=inferred)
    unit = _unit(basis, asked)
    one, other = (_looked(side, basis, unit) for side in asked)
    by_concept: dict[Value | Every, tuple[list[CountedAct], list[CountedAct]]] = defaultdict(lambda: ([], []))
    for number, side in enumerate((one, other)):
        for act in side.acts:
            for value in counts_for(DIMENSIONS["concept"], act, basis):
                by_concept[value][number].append(act)
    by_concept.pop(None, None)
    order = sorted(by_concept, key=lambda value: (value is EVERY, -sum(map(len, by_concept[value])), str(value)))
    rates = [_of_rates(one, other, by_concept[value], basis) for value in order]
    shares = [difference_of_successes(*map(_shares, by_concept[value])) for value in order]
    rates_p = adjusted([each.p_value for each in rates])
    shares_p = adjusted([each.p_value for each in shares])
    figures = [
        (one.figures(first, basis.rated), other.figures(second, basis.rated))
        for first, second in (by_concept[value] for value in order)
    ]
    compared = tuple(
        Compared(value, both[0], both[1], rate, rate_p, share, share_p)
        for value, both, rate, rate_p, share, share_p in zip(
            order, figures, rates, rates_p, shares, shares_p, strict=True
        )
    )
    return SideBySide(
        first=asked[0].name,
        second=asked[1].name,
        unit=unit,
        coverage=(one.coverage, other.coverage),
        concepts=compared,
        notices=_notices(basis, before, one, other),
    )


def _named(store: Store, names: Sequence[str]) -> tuple[_Asked, _Asked]:
    if len(names) != 2:
        raise UsageError("name two fighters or two bouts to compare, or a day to part before from after")
    forms, bouts = fighters_by_form(store), {fold(bout): bout for bout in store.bouts}
    known = [fold(name) for name in names]
    if all(name in bouts for name in known) and not all(name in forms for name in known):
        first, second = (_bout(bouts[name]) for name in known)
    else:
        for name in names:
            if fold(name) not in forms and fold(name) not in bouts:
                raise unknown_name("fighter or bout", name, (*forms, *bouts))
        for name, other in ((names[0], names[1]), (names[1], names[0])):
            if fold(name) not in forms:
                raise UsageError(f"{name} is a bout, and {other} a fighter: name two fighters or two bouts")
        first, second = (_fighter(forms[name]) for name in known)
    if first.name == second.name:
        raise UsageError(f"both names are {first.name}: there is nothing to compare")
    return first, second


def _fighter(ids: Sequence[str]) -> _Asked:
    """One fighter, or all that share a form of a name."""
    people = frozenset(ids)
    return _Asked(
        ", ".join(sorted(people)),
        lambda act: not people.isdisjoint(act.fields.by),
        lambda bout: any(fighter.id in people for fighter in bout.fighters),
    )


def _bout(name: str) -> _Asked:
    return _Asked(name, lambda act: act.bout == name, lambda bout: bout.id == name)


def _before(store: Store, names: Sequence[str], day: datetime.date) -> tuple[_Asked, _Asked]:
    """What has no day is on neither side."""
    if len(names) > 1:
        raise UsageError("before a day and from it on: name one fighter, or none")
    forms = fighters_by_form(store)
    for name in names:
        if fold(name) not in forms:
            raise unknown_name("fighter", name, forms)
    who = _fighter(forms[fold(names[0])]) if names else _Asked("", lambda _: True, lambda _: True)
    called = f"{who.name} " if names else ""

    def side(word: str, fits: Callable[[datetime.date], bool]) -> _Asked:
        return _Asked(
            f"{called}{word} {day}",
            lambda act: act.day is not None and fits(act.day) and who.has_act(act),
            lambda bout: bout.date is not None and fits(bout.date) and who.has_bout(bout),
        )

    return side("before", lambda one: one < day), side("from", lambda one: one >= day)


def _unit(basis: Basis, sides: Sequence[_Asked]) -> Unit:
    bouts = [basis.bouts[bout] for bout in {one.bout for one in basis.noted.values()}]
    lengths = {bout.rounds and bout.rounds.length for bout in bouts if any(side.has_bout(bout) for side in sides)}
    return "round" if len(lengths) <= 1 else "minute"


def _looked(side: _Asked, basis: Basis, unit: Unit) -> _Looked:
    bouts = [bout.id for bout in basis.bouts.values() if side.has_bout(bout)]
    number = {bout: place for place, bout in enumerate(bouts)}
    noted = {key: one for key, one in basis.noted.items() if one.bout in number}
    exposures = {key: one.part if unit == "round" else one.minutes for key, one in noted.items()}
    measured = {key: exposure for key, exposure in exposures.items() if exposure}
    return _Looked(
        acts=tuple(act for act in basis.acts if side.has_act(act)),
        noted=noted,
        coverage=basis.rounds.coverage(bouts),
        place={key: place for place, key in enumerate(measured)},
        exposures=np.array(list(measured.values()), dtype=np.float64),
        bouts=np.array([number[bout] for bout, _ in measured], dtype=np.intp),
    )


def _of_rates(
    one: _Looked, other: _Looked, acts: tuple[list[CountedAct], list[CountedAct]], basis: Basis
) -> Difference:
    if not basis.rated:
        return Difference(too_few="how long a pairing was held is not counted")
    return difference_of_rates(one.rates(acts[0]), other.rates(acts[1]))


def _shares(acts: Iterable[CountedAct]) -> Side:
    """What succeeded of what has an outcome, round by round; what lies in no round is one of each bout, too."""
    rounds: dict[tuple[str, int | None], list[bool]] = defaultdict(list)
    for act in acts:
        if act.fields.outcome:
            rounds[act.bout, act.round].append(did_succeed(act))
    number: dict[str, int] = {}
    return Side(
        np.array([sum(some) for some in rounds.values()], dtype=np.float64),
        np.array([len(some) for some in rounds.values()], dtype=np.float64),
        np.array([number.setdefault(bout, len(number)) for bout, _ in rounds], dtype=np.intp),
    )


def _notices(basis: Basis, before: datetime.date | None, one: _Looked, other: _Looked) -> tuple[str, ...]:
    acts = {id(act): act for act in (*one.acts, *other.acts)}
    notices = list(basis.notices(tuple(acts.values())))
    bouts = len({*one.bouts_noted, *other.bouts_noted})
    if 0 < bouts < FEWEST_BOUTS:
        alone = "this alone" if bouts == 1 else "these alone"
        told = so_many(bouts, "bout")
        notices.append(f"from {told}, and so about {alone}: how much bouts differ takes {FEWEST_BOUTS}")
    dateless = sum(bout.date is None for bout in basis.bouts.values()) if before else 0
    if dateless:
        notices.append(f"on neither side, without a date: {so_many(dateless, 'bout')}")
    return tuple(notices)
