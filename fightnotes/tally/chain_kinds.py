"""Acts as kinds of events: their concepts, and of each again those with which a chain may begin, and may end."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence

from fightnotes.index.store import Store
from fightnotes.search.filters import Filters, acts_sought
from fightnotes.tally.acts import CountedAct
from fightnotes.tally.basis import passing

BEGINS, ENDS = " begins", " ends"
"""Put behind a concept; an id has no blank."""


def concept_of(kind: str) -> str:
    return kind.removesuffix(BEGINS).removesuffix(ENDS)


class ChainKinds:
    """The kinds of lined up acts: concepts, and of each again those that may begin a chain, and may end it."""

    def __init__(
        self,
        store: Store,
        concepts: Sequence[str],
        filters: Filters,
        acts: Sequence[CountedAct],
        to_outcome: str | None,
    ) -> None:
        sought = acts_sought(Filters(tags=tuple(concepts), alone=filters.alone), store).tags
        self.asked = tuple(store.vocabulary.name_of(name) for name in concepts)
        self._outcomes = acts_sought(Filters(outcome=(to_outcome,) if to_outcome else ()), store).outcome
        self._ends = bool(to_outcome)
        begins = {id(act) for act in passing(acts, filters, acts_sought(filters, store), store)}
        if len(concepts) > 1:
            names = [
                {name for name, means in zip(self.asked, sought, strict=True) if act.concept in means} for act in acts
            ]
        else:
            names = _named(acts, alone=filters.alone or self._ends)
            for act, own in zip(acts, names, strict=True):
                own.update(name for name, means in zip(self.asked, sought, strict=True) if act.concept in means)
        self.many_ending = sum(bool(self._outcomes & set(act.fields.outcome)) for act in acts)
        """Acts with which a chain may end."""
        self._names = sorted(set().union(*names))
        self.of_acts = [
            {
                *own,
                *(name + BEGINS for name in own if id(act) in begins),
                *(name + ENDS for name in own if self._outcomes & set(act.fields.outcome)),
            }
            for act, own in zip(acts, names, strict=True)
        ]

    @property
    def chain(self) -> tuple[str, ...]:
        """The chain that is asked for."""
        first, *between, last = self.asked
        return first + BEGINS, *between, last + ENDS if self._ends else last

    @property
    def plain(self) -> list[str]:
        return self._names

    @property
    def beginning(self) -> list[str]:
        return [name + BEGINS for name in self.asked or self._names]

    @property
    def ending(self) -> list[str]:
        return [name + ENDS for name in self._names]


def _named(acts: Sequence[CountedAct], *, alone: bool) -> list[set[str]]:
    """The concepts of each act; a broader one that has no acts beside those of a narrower one is left out."""
    if alone:
        return [{act.concept} if act.concept else set() for act in acts]
    members: dict[str, set[int]] = defaultdict(set)
    for number, act in enumerate(acts):
        for concept in act.concepts:
            members[concept].add(number)
    idle = {
        above
        for act in acts
        for place, concept in enumerate(act.concepts)
        for above in act.concepts[place + 1 :]
        if len(members[above]) == len(members[concept])
    }
    return [set(act.concepts) - idle for act in acts]
