"""What the order of acts says to a claim: what it costs, what follows, what comes before."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from typing import Any

import numpy as np

from fightnotes.briefing.asked_of import Matter, label_of
from fightnotes.briefing.cited import Statement, quoted
from fightnotes.briefing.counting_claims import ClaimSaid, moments_of, trend_said
from fightnotes.briefing.nearby import AT_ONCE, Nearby, nearby
from fightnotes.briefing.numbers import FEWEST, begun
from fightnotes.search.hit import Hit
from fightnotes.tally.acts import CountedAct
from fightnotes.tally.basis import basis_of
from fightnotes.tally.chain_kinds import ChainKinds, concept_of
from fightnotes.tally.chains import Chain
from fightnotes.tally.difference import Side, difference_of_successes
from fightnotes.tally.estimate import p_value
from fightnotes.tally.events import events_of
from fightnotes.tally.figures import plain_estimate
from fightnotes.tally.follow import FEWEST_OF_A_KIND, occurrences, pairs
from fightnotes.tally.lined_up import MOST_TOLD_APART, line_up
from fightnotes.tally.proportion import share
from fightnotes.tally.sequences import WITHIN, follow
from fightnotes.tally.share_trend import share_trend
from fightnotes.tally.so_many import so_many
from fightnotes.tally.strata import FEWEST_BOUTS
from fightnotes.tally.trend import LEVEL, in_words

_MOST = 4
"""What follows, in sentences."""

COST_MEANS = (
    f"cost: the other succeeds in the same note or begins to within {AT_ONCE} s, or the actor is hurt, down or stopped "
    "in the next moment of the round"
)


def every_act(matter: Matter) -> tuple[CountedAct, ...]:
    """All acts of the bouts that are asked about, whoever does them."""
    wide = matter.filters.model_copy(
        update={"tags": (), "by": (), "on": (), "fighter": (), "corner": None, "target": ()}
    )
    return basis_of(matter.store, wide, inferred=matter.inferred).acts


def _told_again(acts: Iterable[CountedAct], every: Iterable[CountedAct]) -> list[CountedAct]:
    """The same acts as they stand among all."""
    wanted = {(act.ids, act.concept, act.fields.by) for act in acts}
    return [act for act in every if (act.ids, act.concept, act.fields.by) in wanted]


def costs(matter: Matter) -> ClaimSaid:
    """Whether it costs its actor: against what the same fighters do otherwise, or as a trend over rounds."""
    every = every_act(matter)
    near = nearby(every, matter.store.bouts)
    asked = [act for act in _told_again(matter.acts, every) if act.fields.by]
    if not asked:
        return ClaimSaid("open", f"Open: the notes do not say who does the {matter.called}.")
    paid = {id(act): near.costs(act) for act in asked}
    costing = [act for act in asked if paid[id(act)]]
    rate = share(len(costing), len(asked))
    assert rate is not None
    answers = [one for act in costing for one in paid[id(act)]]
    text = f"{len(costing)} of {len(asked)} acts cost the one who did them: {rate.percent} ({COST_MEANS})."
    figures: dict[str, Any] = {"count": len(costing), "of": len(asked), "share": plain_estimate(rate)}
    told = [Statement(text, "computed", moments_of([*costing, *answers] or asked, matter), figures)]
    told += [quoted(hit) for hit in _ends(moments_of([*costing[:1], *costing[-1:]], matter))]
    if matter.question.asked.claim in ("more and more", "less and less", "any trend"):
        return _cost_over_rounds(matter, asked, paid, told)
    actors = {one for act in asked for one in act.fields.by}
    known = {id(act) for act in asked}
    others = [act for act in every if id(act) not in known and actors & set(act.fields.by)]
    return _against_the_rest(matter, near, asked, paid, others, told)


def _cost_over_rounds(
    matter: Matter, asked: Sequence[CountedAct], paid: dict[int, list[CountedAct]], told: list[Statement]
) -> ClaimSaid:
    cells: dict[tuple[str, int], list[bool]] = defaultdict(list)
    for act in asked:
        if act.round is not None:
            cells[act.bout, act.round].append(bool(paid[id(act)]))
    trend = share_trend(
        [number for _, number in cells],
        [sum(some) for some in cells.values()],
        [len(some) for some in cells.values()],
        [bout for bout, _ in cells],
    )
    what = f"cost of {matter.what}"
    verdict, says = trend_said(trend, in_words(trend), matter, what)
    rounds: dict[int, list[bool]] = defaultdict(list)
    for (_, number), some in cells.items():
        rounds[number] += some
    parts = ", ".join(f"R{number} {sum(some)} of {len(some)}" for number, some in sorted(rounds.items()))
    if parts:
        placed_acts = [act for act in asked if act.round is not None]
        rows = [{"round": number, "count": sum(some), "of": len(some)} for number, some in sorted(rounds.items())]
        by_round = Statement(f"By round: {parts}.", "computed", moments_of(placed_acts, matter), {"rows": rows})
        told.insert(1, by_round)
    return ClaimSaid(verdict, says, tuple(told))


def _against_the_rest(
    matter: Matter,
    near: Nearby,
    asked: Sequence[CountedAct],
    paid: dict[int, list[CountedAct]],
    others: Sequence[CountedAct],
    told: list[Statement],
) -> ClaimSaid:
    """Whether it costs more than what the same fighters do otherwise."""
    if len(asked) < FEWEST:
        reason = f"{len(asked)} acts, and {FEWEST} are needed"
        return ClaimSaid("open", f"Open: too few notes of {matter.what} ({reason}).", tuple(told))
    costly = {id(act): near.costs(act) for act in others}
    difference = difference_of_successes(_side(asked, paid), _side(others, costly))
    rest = [act for act in others if costly[id(act)]]
    if others:
        base = share(len(rest), len(others))
        assert base is not None
        text = f"Of what they do otherwise {len(rest)} of {len(others)} acts cost as much: {base.percent}."
        figures = {"count": len(rest), "of": len(others), "share": plain_estimate(base)}
        told.insert(1, Statement(text, "computed", moments_of(rest or others, matter), figures))
    notices = _of_few_bouts(len({act.bout for act in (*asked, *others)}))
    if difference.effect is None or difference.p_value is None:
        says = f"Open: too few notes to hold it against the rest ({difference.too_few})."
        return ClaimSaid("open", says, tuple(told), notices)
    size = f"{difference.effect.points} hundredths, {p_value(difference.p_value)}"
    if difference.p_value >= LEVEL or difference.effect.value == 0:
        says = f"Open: that {matter.what} costs more or less than what is done otherwise is not clear ({size})."
        return ClaimSaid("open", says, tuple(told), notices)
    more = difference.effect.value > 0
    begin, than = ("Yes", "more") if more else ("No", "less")
    says = f"{begin}: {matter.what} costs {than} than what is done otherwise ({size})."
    return ClaimSaid("yes" if more else "no", says, tuple(told), notices)


def _of_few_bouts(bouts: int) -> tuple[str, ...]:
    few = f"from {so_many(bouts, 'bout')}, and so about these alone: how much bouts differ takes {FEWEST_BOUTS}"
    return (few,) if bouts < FEWEST_BOUTS else ()


def _side(acts: Sequence[CountedAct], paid: dict[int, list[CountedAct]]) -> Side:
    cells: dict[tuple[str, int | None], list[bool]] = defaultdict(list)
    for act in acts:
        cells[act.bout, act.round].append(bool(paid[id(act)]))
    number: dict[str, int] = {}
    return Side(
        np.array([sum(some) for some in cells.values()], dtype=np.float64),
        np.array([len(some) for some in cells.values()], dtype=np.float64),
        np.array([number.setdefault(bout, len(number)) for bout, _ in cells], dtype=np.intp),
    )


def _ends(hits: Sequence[Hit]) -> Sequence[Hit]:
    return hits[:1] if len(hits) < 2 else (hits[0], hits[-1])


def follows(matter: Matter) -> ClaimSaid:
    """What follows the act within `WITHIN` seconds more often than chance, as `follow` tells it."""
    tags = matter.filters.model_copy(update={"tags": ()})
    found = follow(matter.store, (matter.concept,), tags, inferred=matter.inferred, limit=_MOST)
    return _in_order(matter, "follows", found.found)


def comes_before(matter: Matter) -> ClaimSaid:
    """What the act follows so."""
    given = matter.filters.of_segments.model_copy(update={"written": matter.filters.written})
    basis = basis_of(matter.store, given, inferred=matter.inferred)
    lined_up = line_up(basis.acts, basis.bouts, one_after_another=True)
    asked = matter.filters.model_copy(update={"tags": ()})
    kinds = ChainKinds(matter.store, (matter.concept,), asked, lined_up.acts, None)
    events = events_of(lined_up.clocks, lined_up.seconds, kinds.of_acts)
    apart = WITHIN + MOST_TOLD_APART
    others = [name for name in kinds.plain if matter.concept not in matter.store.vocabulary.with_broader(name)]
    chains = []
    for one in pairs(events, apart, leads=others, follows=kinds.beginning)[:_MOST]:
        runs = tuple(tuple(lined_up.acts[place] for place in run) for run in occurrences(events, one.kinds, apart))
        fewest = min(int(events.are(kind).sum()) for kind in one.kinds)
        chains.append(Chain(tuple(map(concept_of, one.kinds)), one, runs, fewest, tested=True))
    return _in_order(matter, "comes before", chains)


def _in_order(matter: Matter, way: str, chains: Sequence[Chain]) -> ClaimSaid:
    notices = (f"from start to start, {WITHIN:g} s at most; what is written at one time follows in the order written",)
    sentences = tuple(_followed(one, matter) for one in chains)
    clear = [one for one in chains if one.is_clear]
    if not chains:
        hits = moments_of(matter.acts, matter)
        text = f"{so_many(len(matter.acts), 'act')} noted; nothing with {FEWEST_OF_A_KIND} acts {way} so."
        told = Statement(text, "computed", hits, {"count": len(matter.acts)})
        says = f"Open: too few notes to say what {way} {matter.what}."
        return ClaimSaid("open", says, (told,), notices)
    if not clear:
        says = f"Open: nothing {way} {matter.what} within {WITHIN:g} s clearly more often than chance would have it."
        return ClaimSaid("open", says, sentences, notices)
    side, place = ("After", 1) if way == "follows" else ("Before", 0)
    names = ", ".join(label_of(one.concepts[place], matter.store) for one in clear)
    says = f"{side} {matter.what}, within {WITHIN:g} s, more often than chance: {names}."
    return ClaimSaid("told", says, sentences, notices)


def _followed(one: Chain, matter: Matter) -> Statement:
    following, store = one.following, matter.store
    first, then = (label_of(concept, store) for concept in one.concepts)
    lift = f", {following.lift} times that" if following.lift else ""
    p = f"; {p_value(one.p_value)}" if one.p_value is not None else ""
    by = one.by_whom
    whose = f"{by['same']} by the same fighter, {by['other']} by the other, {one.at_one_time} written at one time"
    clear = "" if one.is_clear else "; it may be chance"
    text = (
        f"{begun(first)}, then {then}: {following.count} of {following.of} within {WITHIN:g} s, by chance "
        f"{following.expected:.2g}{lift}{p}{clear}; {whose}."
    )
    told = one.as_json(matter.basis)
    return Statement(text, "computed", moments_of([act for run in one.runs for act in run], matter), told)
