"""What the order of acts says to a claim: what it costs, what follows, what comes before."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence
from typing import Any

import numpy as np

from fightnotes.briefing.asked_of import Matter, label_of, name_of
from fightnotes.briefing.cited import Statement, quoted
from fightnotes.briefing.counting_claims import ClaimSaid, moments_of, trend_said
from fightnotes.briefing.nearby import AT_ONCE, Nearby, nearby, placed
from fightnotes.briefing.numbers import FEWEST, begun, p_value, percent, points, so_many, spanned
from fightnotes.tally.acts import CountedAct
from fightnotes.tally.basis import basis_of
from fightnotes.tally.difference import Side, difference_of_successes
from fightnotes.tally.figures import plain_estimate, plain_number
from fightnotes.tally.follow import Events, Following, events_of, occurrences, pairs
from fightnotes.tally.proportion import share
from fightnotes.tally.share_trend import share_trend
from fightnotes.tally.strata import FEWEST_BOUTS
from fightnotes.tally.trend import LEVEL, in_words

WITHIN = 10
"""Seconds within which one act follows another: by hand, no source."""
_MOST = 4
"""What follows, in sentences."""
_ASKED = "the act asked about"

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
    text = f"{len(costing)} of {len(asked)} acts cost the one who did them: {percent(rate)} ({COST_MEANS})."
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
        text = f"Of what they do otherwise {len(rest)} of {len(others)} acts cost as much: {percent(base)}."
        figures = {"count": len(rest), "of": len(others), "share": plain_estimate(base)}
        told.insert(1, Statement(text, "computed", moments_of(rest or others, matter), figures))
    notices = _of_few_bouts(len({act.bout for act in (*asked, *others)}))
    if difference.effect is None or difference.p_value is None:
        says = f"Open: too few notes to hold it against the rest ({difference.too_few})."
        return ClaimSaid("open", says, tuple(told), notices)
    size = f"{points(difference.effect)} hundredths, {p_value(difference.p_value)}"
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


def _ends(hits: Sequence[Any]) -> Sequence[Any]:
    return hits[:1] if len(hits) < 2 else (hits[0], hits[-1])


def follows(matter: Matter, *, before: bool) -> ClaimSaid:
    """What comes within `WITHIN` seconds after the act, or before it, more often than chance."""
    every = every_act(matter)
    asked = {id(act) for act in _told_again(matter.acts, every)}
    there = [
        one
        for one in placed(every, matter.store.bouts)
        if id(one.act) in asked or (one.act.concept and one.act.fields.by)
    ]
    kinds = [_ASKED if id(one.act) in asked else _kind(one.act) for one in there]
    acts = [one.act for one in there]
    events = events_of(["\t".join(map(str, one.line)) for one in there], [float(one.second) for one in there], kinds)
    timed = kinds.count(_ASKED)
    way = "comes before" if before else "follows"
    same = _in_the_same_note(matter, [act for act in every if id(act) in asked], every)
    if timed < FEWEST:
        hits = moments_of(matter.acts, matter)
        text = f"{len(matter.acts)} acts, {timed} of them with a time in a round."
        told = Statement(text, "computed", hits, {"count": len(matter.acts), "timed": timed})
        says = f"Open: too few notes of {matter.what} to say what {way} ({timed} with a time, and {FEWEST} are needed)."
        return ClaimSaid("open", says, (told, *same))
    end = 1 if before else 0
    found = [one for one in pairs(events, WITHIN) if one.kinds[end] == _ASKED and one.kinds[1 - end] != _ASKED]
    sentences = [_followed(one, matter, events, acts, before) for one in found[:_MOST]]
    clear = [one for one in found if _is_clear(one)]
    if not clear:
        nothing = f"Open: nothing {way} {matter.what} within {WITHIN} s clearly more often than chance would have it."
        hits = moments_of(matter.acts, matter)
        rest = Statement(f"{timed} acts with a time in a round were looked at.", "computed", hits, {"timed": timed})
        return ClaimSaid("open", nothing, (*sentences, *same) or (rest,))
    names = ", ".join(_named(one.kinds[1 - end], matter) for one in clear)
    return ClaimSaid(
        "told", f"{begun(names)} {way} {matter.what} within {WITHIN} s more often than chance.", (*sentences, *same)
    )


def _has_kind(act: CountedAct) -> bool:
    return bool(act.concept and act.fields.by)


def _kind(act: CountedAct) -> str:
    return f"{act.concept}\t{' '.join(sorted(act.fields.by))}"


def _named(kind: str, matter: Matter) -> str:
    concept, _, people = kind.partition("\t")
    return f"{label_of(concept, matter.store)} by {' and '.join(name_of(one, matter.store) for one in people.split())}"


def _is_clear(one: Following) -> bool:
    return one.adjusted is not None and one.adjusted < LEVEL and one.lift is not None and one.lift.value > 1


def _followed(one: Following, matter: Matter, events: Events, acts: Sequence[CountedAct], before: bool) -> Statement:
    places = occurrences(events, one.kinds, WITHIN)
    hits = moments_of([acts[place] for row in places for place in row], matter)
    other = _named(one.kinds[0 if before else 1], matter)
    told = f"after {one.count} of {one.of} it comes" if before else f"after {one.count} of {one.of}"
    lift = f", {spanned(one.lift)} times that" if one.lift else ""
    p = f"; {p_value(one.adjusted)} for all pairs" if one.adjusted is not None else ""
    clear = "" if _is_clear(one) else ", which may be chance"
    text = f"{begun(other)}: {told} within {WITHIN} s; by chance {one.expected:.2g}{lift}{p}{clear}."
    figures = {
        "count": one.count, "of": one.of, "expected": plain_number(one.expected), "lift": plain_estimate(one.lift),
        "p": plain_number(one.p_value), "p_adjusted": plain_number(one.adjusted),
    }  # fmt: skip
    return Statement(text, "computed", hits, figures)


def _in_the_same_note(
    matter: Matter, asked: Sequence[CountedAct], every: Sequence[CountedAct]
) -> tuple[Statement, ...]:
    """What is noted in one line with it, in no order: what is at one time follows nothing."""
    near = nearby(every, matter.store.bouts)
    counted: Counter[str] = Counter()
    together: dict[str, list[CountedAct]] = defaultdict(list)
    for act in asked:
        beside = filter(_has_kind, near.in_the_same_note(act))
        for kind in dict.fromkeys(map(_kind, beside)):
            counted[kind] += 1
            together[kind].append(act)
    if not counted:
        return ()
    common = counted.most_common(3)
    parts = ", ".join(f"{_named(kind, matter)} {count}" for kind, count in common)
    hits = moments_of([act for kind, _ in common for act in together[kind]], matter)
    rows = [{"kind": _named(kind, matter), "count": count} for kind, count in common]
    text = f"In the same note, in no order, of {len(asked)}: {parts}."
    return (Statement(text, "computed", hits, {"of": len(asked), "rows": rows}),)
