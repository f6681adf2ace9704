"""Lines of a match sheet: what is counted, in numbers with intervals, each with its moments."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

from fightnotes.briefing.asked_of import label_of, name_of
from fightnotes.briefing.nearby import Nearby
from fightnotes.briefing.numbers import FEWEST
from fightnotes.index.store import Store
from fightnotes.search.hit import Hit
from fightnotes.search.people import known_fighters
from fightnotes.tally.acts import CountedAct
from fightnotes.tally.basis import Basis
from fightnotes.tally.dimensions import Every, Value
from fightnotes.tally.figures import Figures
from fightnotes.tally.moments import hits_of
from fightnotes.tally.so_many import so_many
from fightnotes.tally.tally import Tally


@dataclass(frozen=True)
class SheetLine:
    called: str
    """What is counted: a technique, and against whom where that is the matter."""
    says: tuple[str, ...]
    """What is said of it, piece by piece."""
    moments: tuple[Hit, ...]
    """All that it stands on."""
    figures: Figures | None = None
    """As `tally` has them; None of what another did about it."""
    together: int = 0
    """How many of the acts were against the other of the sheet."""
    counted: Mapping[str, Any] = field(default_factory=dict)
    """Further numbers in it, in plain values."""

    def as_json(self) -> dict[str, Any]:
        return {
            "what": self.called,
            "says": list(self.says),
            "figures": self.figures.as_json() if self.figures else None,
            "against_each_other": self.together,
            **self.counted,
            "places": [hit.place for hit in self.moments],
        }


@dataclass(frozen=True)
class Section:
    title: str
    about: str
    """What is counted in it."""
    lines: tuple[SheetLine, ...] = ()
    few: tuple[SheetLine, ...] = ()
    """Of which too few are noted for a claim."""
    unsaid: str = ""
    """Why it says nothing, where it does not."""

    def as_json(self) -> dict[str, Any]:
        return {
            "title": self.title,
            "about": self.about,
            "lines": [line.as_json() for line in self.lines],
            "too_few": [line.as_json() for line in self.few],
            "unsaid": self.unsaid or None,
        }


@dataclass(frozen=True)
class Studied:
    """One fighter of a sheet, and what is counted of both."""

    store: Store
    basis: Basis
    """The fighter's own acts."""
    base: Basis
    """Everybody's."""
    near: Nearby
    fighter: str
    other: str

    @property
    def name(self) -> str:
        return name_of(self.fighter, self.store)

    @property
    def other_name(self) -> str:
        return name_of(self.other, self.store)

    @cached_property
    def met(self) -> frozenset[str]:
        """Bouts against the other."""
        return frozenset(id for id, bout in self.basis.bouts.items() if self.other in {one.id for one in bout.fighters})

    @property
    def other_stances(self) -> frozenset[str]:
        """Those in which the other is listed."""
        people = (one for one in known_fighters(self.store) if one.id == self.other)
        return frozenset(one.stance for one in people if one.stance)

    def moments(self, acts: Sequence[CountedAct]) -> tuple[Hit, ...]:
        return hits_of(acts, self.store.bouts)

    def label(self, concept: Value) -> str:
        return label_of(str(concept), self.store)

    def line(
        self, called: str, figures: Figures, *, rate: bool = True, more: Sequence[str] = (), of_other: bool = False
    ) -> SheetLine:
        """`of_other` is of a line that tells of the two against each other in any case."""
        together = sum(act.bout in self.met for act in figures.acts)
        says = [so_many(figures.count, "act")]
        if rate and figures.per_round:
            says.append(f"{figures.per_round} a round")
        if figures.with_outcome >= FEWEST:
            says.append(f"came off {figures.success_said}")
        elif figures.with_outcome:
            says.append(f"came off {figures.succeeded} of {figures.with_outcome}, too few to say how well")
        says += more
        if together and not of_other:
            says.append(f"{together} against {self.other_name}")
        return SheetLine(called, tuple(says), self.moments(figures.acts), figures, together)


def told_concepts(counted: Tally, column: Value | Every, store: Store) -> tuple[list[str], list[str]]:
    """As `by_weight`, of what one column of a tally counts."""
    counts = {str(row): counted.figures(row, column).count for row in counted.row_values if row is not None}
    return by_weight(counts, store)


def by_weight(counts: Mapping[str, int], store: Store) -> tuple[list[str], list[str]]:
    """Concepts with `FEWEST` acts, the commonest first, and those with fewer that have none below them.

    A broader one is left out where one below it that is told has all but a few of its acts: it would say the same.
    """
    told = [one for one, count in counts.items() if count - _most_below(one, counts, store) >= FEWEST]
    few = [one for one, count in counts.items() if 0 < count < FEWEST and not any(_below(one, counts, store))]

    def order(concept: str) -> tuple[int, str]:
        return -counts[concept], concept

    return sorted(told, key=order), sorted(few, key=order)


def _below(concept: str, counts: Mapping[str, int], store: Store) -> list[int]:
    if concept not in store.vocabulary.by_id:
        return []
    return [counts.get(one, 0) for one in store.vocabulary.with_narrower(concept) if one != concept]


def _most_below(concept: str, counts: Mapping[str, int], store: Store) -> int:
    return max((count for count in _below(concept, counts, store) if count >= FEWEST), default=0)
