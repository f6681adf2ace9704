"""What was looked at: the rounds that somebody noted, and how long they were."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction

from fightnotes.model import Bout, Kind, Record, Segment
from fightnotes.reading.placing import seconds_gone
from fightnotes.tally.acts import round_of
from fightnotes.tally.so_many import so_many

STOPPAGE = "stoppage"
"""The outcome that ends a bout."""
_SHORTEST = Fraction(1)
"""Seconds that a round stopped at its bell is taken to have lasted, so that what was done in it has a rate."""


@dataclass(frozen=True)
class NotedRound:
    """A round of which there is a timed note; without one nobody is known to have looked at it."""

    bout: str
    number: int
    part: float
    """Of a full round: 1, or less where the bout was stopped in it."""
    minutes: float | None
    """How long it lasted; None where the bout does not say how long its rounds are."""
    analysts: frozenset[str | None]
    """Who noted it."""


class Coverage(Record):
    noted: int
    """Rounds with a timed note."""
    rounds: int
    """Rounds that there were; of a bout that gives no number, up to the last that is known of."""
    bouts: int
    minutes: float
    """Of the noted rounds whose length is known."""
    without_length: int
    """Noted rounds whose length is not known."""

    def __str__(self) -> str:
        length = f", {self.minutes:.0f} minutes" if self.minutes else ""
        unknown = f" ({self.without_length} of unknown length)" if self.without_length else ""
        return f"noted: {self.noted} of {self.rounds} rounds of {so_many(self.bouts, 'bout')}{length}{unknown}"


@dataclass(frozen=True)
class Rounds:
    """Of some bouts, by id."""

    noted: dict[tuple[str, int], NotedRound]
    """By bout and number."""
    held: dict[str, int]
    """How many each bout had, of those that are asked for."""

    def coverage(self, bouts: Iterable[str]) -> Coverage:
        """Of some of the bouts."""
        among = set(bouts)
        noted = [one for one in self.noted.values() if one.bout in among]
        return Coverage(
            noted=len(noted),
            rounds=sum(count for bout, count in self.held.items() if bout in among),
            bouts=len(among),
            minutes=round(sum(one.minutes or 0.0 for one in noted), 3),
            without_length=sum(one.minutes is None for one in noted),
        )


def rounds_of(
    bouts: Mapping[str, Bout],
    segments: Iterable[Segment],
    *,
    kind: Kind = "note",
    analysts: frozenset[str] = frozenset(),
    asked: tuple[int, int] | None = None,
) -> Rounds:
    """Those in which a timed segment of a kind lies, by these analysts (any, where none are named).

    `segments` are all that the bouts have: those of others tell of the last round and of a stoppage, too. A round ends
    where its latest outcome of STOPPAGE begins, if nothing timed lies in a later one; else with its length. `asked` are
    the first and the last number to look at.
    """
    noted: dict[tuple[str, int], set[str | None]] = defaultdict(set)
    told: dict[str, int] = {}
    stopped: dict[tuple[str, int], Fraction] = {}
    for segment in segments:
        number = round_of(segment)
        if number is None or segment.bout not in bouts:
            continue
        told[segment.bout] = max(told.get(segment.bout, 0), number)
        if segment.kind == kind and (not analysts or segment.analyst in analysts):
            noted[segment.bout, number].add(segment.analyst)
        gone = seconds_gone(segment, bouts[segment.bout]) if STOPPAGE in segment.all_of("outcome") else None
        if gone is not None:
            stopped[segment.bout, number] = max(gone, stopped.get((segment.bout, number), gone))
    ends = {(bout, number): gone for (bout, number), gone in stopped.items() if told[bout] == number}
    first, last = asked or (1, max((*told.values(), *map(_planned, bouts.values())), default=0))
    lasted = dict(ends.keys())
    held = {id: lasted.get(id) or max(_planned(bout), told.get(id, 0)) for id, bout in bouts.items()}
    return Rounds(
        noted={
            (bout, number): _noted(bouts[bout], number, analysts, ends.get((bout, number)))
            for (bout, number), analysts in noted.items()
            if first <= number <= last
        },
        held={bout: max(0, min(count, last) - first + 1) for bout, count in held.items()},
    )


def _planned(bout: Bout) -> int:
    """How many rounds its front matter tells of."""
    return (bout.rounds.count if bout.rounds else None) or max(bout.bells, default=0)


def _noted(bout: Bout, number: int, analysts: Iterable[str | None], stopped: Fraction | None) -> NotedRound:
    length = bout.rounds.length if bout.rounds else None
    part = Fraction(1)
    if length and stopped is not None:
        part = min(max(stopped, _SHORTEST) / length, part)
    minutes = None if length is None else float(length * part / 60)
    return NotedRound(bout.id, number, float(part), minutes, frozenset(analysts))
