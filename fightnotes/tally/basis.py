"""What is counted: the acts that filters let through, and the rounds in which they could have been noted."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache

from fightnotes.errors import UsageError
from fightnotes.index.store import Store
from fightnotes.model import Bout, Segment
from fightnotes.search.filters import ActsSought, Filters, acts_sought, matching_ids
from fightnotes.tally.acts import CountedAct, counted_act, tellings_of
from fightnotes.tally.coverage import Coverage, NotedRound, Rounds, rounds_of
from fightnotes.tally.dimensions import EVERY, Dimension, Every, Value
from fightnotes.tally.figures import SUCCESSES
from fightnotes.tally.one_act import fold_acts
from fightnotes.tally.so_many import so_many

OBSERVED = "notes are a sample that the analyst chose: this is what was observed, not what caused it"


@dataclass(frozen=True)
class Basis:
    acts: tuple[CountedAct, ...]
    """In the order of bouts, files and lines."""
    bouts: Mapping[str, Bout]
    """Those in which such acts may have been noted."""
    rounds: Rounds
    sought: ActsSought
    filters: Filters
    inferred: bool
    """Whether fields that nobody wrote count too."""

    @property
    def noted(self) -> Mapping[tuple[str, int], NotedRound]:
        """Noted rounds by bout and number."""
        return self.rounds.noted

    @property
    def coverage(self) -> Coverage:
        return self.rounds.coverage(self.bouts)

    @property
    def rated(self) -> bool:
        """Whether it is known how long was looked at: not where one pairing alone is asked for."""
        return self.filters.pairing is None

    def notices(self, acts: Sequence[CountedAct]) -> tuple[str, ...]:
        """What a reader of numbers of these acts has to know."""
        judged = any(act.fields.outcome for act in acts)
        unplaced = sum((act.bout, act.round) not in self.noted for act in acts)
        notices = [f"success: {', '.join(SUCCESSES)}, of acts with an outcome; partial is told apart"] if judged else []
        notices.append(OBSERVED)
        if unplaced:
            notices.append(f"in no noted round, and so in no rate: {unplaced} of {so_many(len(acts), 'act')}")
        if not self.rated:
            notices.append("no rates for one pairing alone: how long it was held is not counted")
        return tuple(notices)


def basis_of(store: Store, filters: Filters, *, inferred: bool) -> Basis:
    """Acts told by several segments are one, and are then held against the filters, with the fields that they have.

    Raises UnknownName as `find` does, UsageError where inferred fields are asked for and refused at once.
    """
    if inferred and filters.written:
        raise UsageError("inferred fields are to be counted, and left out: ask for one of both")
    sought = acts_sought(filters, store)
    segments = _segments(store, Filters(bout=filters.bout, since=filters.since, until=filters.until))
    ids = matching_ids(filters.of_segments, store)
    told = segments if ids is None else {number: segments[number] for number in ids}
    bouts = {bout.id: bout for bout in store.bouts.values() if sought.may_happen_in(bout)}
    rounds = rounds_of(
        bouts, segments.values(), kind=filters.kind or "note", analysts=sought.analyst, asked=filters.rounds
    )
    acts = passing(_acts(store, told, inferred), filters, sought, store)
    return Basis(tuple(acts), bouts, rounds, sought, filters, inferred)


def _segments(store: Store, filters: Filters) -> dict[int, Segment]:
    ids = matching_ids(filters, store)
    return store.every_segment() if ids is None else store.segments(ids)


def _acts(store: Store, segments: Mapping[int, Segment], inferred: bool) -> list[CountedAct]:
    """Each once. A bout's notes tell before its transcripts, its own file first."""
    place = {bout: number for number, bout in enumerate(store.bouts)}
    rows = sorted(segments.items(), key=lambda row: (place[row[1].bout], row[1].kind != "note", row[0]))
    above = cache(store.vocabulary.with_broader)
    found = fold_acts(tellings_of(rows, inferred=inferred), store.vectors_of, above)
    return [counted_act(tellings, store.bouts[tellings[0].segment.bout], above) for tellings in found]


def passing(acts: Sequence[CountedAct], filters: Filters, sought: ActsSought, store: Store) -> list[CountedAct]:
    """Those that have the fields; where tags are asked for, of one of them, in a segment that has all of them."""
    fitting = [
        act
        for act in acts
        if sought.has_fields(act.fields, store.bouts[act.bout])
        and (filters.pairing is None or act.pairing == filters.pairing)
    ]
    if not sought.tags:
        return fitting
    answered: dict[int, set[int]] = defaultdict(set)
    for act in fitting:
        for number, concepts in enumerate(sought.tags):
            if act.concept in concepts:
                for segment in act.ids:
                    answered[segment].add(number)
    return [
        act
        for act in fitting
        if act.concept in sought.concepts
        and len(set().union(*(answered[segment] for segment in act.ids))) == len(sought.tags)
    ]


def counts_for(dimension: Dimension | None, act: CountedAct, basis: Basis) -> tuple[Value | Every, ...]:
    """The values of an act that are asked for, and EVERY."""
    if dimension is None:
        return (EVERY,)
    filters, sought = basis.filters, basis.sought
    values = (act.concept,) if dimension.name == "concept" and filters.alone else dimension.values(act)
    asked: Mapping[str, frozenset[str]] = {
        "concept": sought.concepts, "fighter": sought.by, "opponent": sought.on, "outcome": sought.outcome,
        "target": sought.target, "analyst": sought.analyst,
    }  # fmt: skip
    wanted = asked.get(dimension.name)
    return *(value for value in values if not wanted or value in wanted), EVERY
