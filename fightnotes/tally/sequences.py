"""The main job: what tends to follow what, chain by chain."""

from __future__ import annotations

from collections.abc import Sequence
from math import inf

from fightnotes.errors import UsageError
from fightnotes.index.store import Store
from fightnotes.search.filters import Filters
from fightnotes.tally.basis import basis_of
from fightnotes.tally.chain_kinds import ChainKinds, concept_of
from fightnotes.tally.chains import Chain, Sequences
from fightnotes.tally.events import events_of
from fightnotes.tally.follow import Following, Who, chain, chains, chains_to, occurrences, pairs
from fightnotes.tally.lined_up import MOST_TOLD_APART, line_up

WITHIN = 10.0
"""Seconds from act to act: an exchange and what comes of it. Common practice, no source."""
STEPS = 2


def follow(
    store: Store,
    concepts: Sequence[str] = (),
    filters: Filters = Filters(),  # noqa: B008  immutable
    *,
    within: float = WITHIN,
    who: Who = "either",
    to_outcome: str | None = None,
    steps: int = STEPS,
    notes_apart: bool = False,
    inferred: bool = False,
    limit: int = 20,
) -> Sequences:
    """What follows what within so many seconds, from start to start.

    Of two concepts or more that chain; of one what follows it; of none all pairs. With `to_outcome` chains whose last
    act has it: the one asked for, else those of so many acts. What filters ask of an act they ask of the first. With
    `notes_apart` nothing follows in its own note. Raises UnknownName as `find` does, UsageError.
    """
    if not 0 < within < inf:
        raise UsageError("what follows takes more than no time, and not for ever: give seconds, such as 10")
    if steps != STEPS and (to_outcome is None or len(concepts) > 1):
        raise UsageError("steps go with an outcome and no chain: name the concepts of the chain itself")
    given = filters.of_segments.model_copy(update={"written": filters.written})
    basis = basis_of(store, given, inferred=inferred)
    lined_up = line_up(basis.acts, basis.bouts, one_after_another=not notes_apart)
    kinds = ChainKinds(store, concepts, filters, lined_up.acts, to_outcome)
    actors = [" ".join(sorted(act.fields.by)) or None for act in lined_up.acts]
    events = events_of(lined_up.clocks, lined_up.seconds, kinds.of_acts, actors)
    apart = within + MOST_TOLD_APART
    leads_up = to_outcome is not None and len(concepts) < 2
    further = 0
    following: Sequence[Following]
    if len(concepts) > 1:
        following = [chain(events, kinds.chain, apart, who)]
    elif leads_up:
        ways = [way for way, _ in chains_to(events, kinds.ending, apart, steps, who, firsts=kinds.beginning)]
        following = chains(events, ways[:limit], apart, who, of_last=True)
        further = len(ways) - len(following)
    else:
        following = pairs(events, apart, who, leads=kinds.beginning, follows=kinds.plain)

    def opened(one: Following) -> Chain:
        runs = sorted(occurrences(events, one.kinds, apart, who, of_last=leads_up))
        acts = tuple(tuple(lined_up.acts[place] for place in run) for run in runs)
        fewest = min(int(events.are(kind).sum()) for kind in one.kinds)
        return Chain(tuple(map(concept_of, one.kinds)), one, acts, fewest, tested=not leads_up)

    found: dict[frozenset[tuple[int, ...]] | int, Chain] = {}
    for place, one in enumerate(following):
        if len(found) == limit:
            further = len(following) - place
            break
        told = opened(one)
        same_runs = frozenset(tuple(map(id, run)) for run in told.runs)
        found.setdefault(same_runs if len(concepts) < 2 and not leads_up else place, told)

    return Sequences(
        found=tuple(found.values()),
        concepts=kinds.asked,
        to_outcome=to_outcome,
        within=within,
        who=who,
        one_after_another=not notes_apart,
        filters=filters,
        basis=basis,
        lined_up=lined_up,
        events=events,
        further=further,
        ending=kinds.many_ending if to_outcome else None,
    )
