"""What the counts say to a claim: how often, whether more and more, whether it works, who does it more, when."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from fightnotes.briefing.asked_of import Matter, name_of
from fightnotes.briefing.cited import Statement, quoted
from fightnotes.briefing.numbers import FEWEST, begun
from fightnotes.search.hit import Hit
from fightnotes.tally.acts import CountedAct
from fightnotes.tally.compare import compare
from fightnotes.tally.dimensions import EVERY, DimensionName, Value
from fightnotes.tally.estimate import p_value
from fightnotes.tally.figures import did_succeed
from fightnotes.tally.moments import hits_of
from fightnotes.tally.so_many import so_many
from fightnotes.tally.tally import Tally, tally_of
from fightnotes.tally.trend import LEVEL, Trend
from fightnotes.tally.value_trend import Measure, ValueTrend

Verdict = Literal["yes", "no", "open", "told"]
"""Told is what has no yes or no; open is what the notes cannot carry."""


@dataclass(frozen=True)
class ClaimSaid:
    verdict: Verdict
    says: str
    """The answer in a line; of what is open, why."""
    sentences: tuple[Statement, ...] = ()
    notices: tuple[str, ...] = ()
    """What a reader has to know of this answer beside what holds for its acts."""


def moments_of(acts: Sequence[CountedAct], matter: Matter) -> tuple[Hit, ...]:
    return hits_of(acts, matter.store.bouts)


def nothing_noted(matter: Matter) -> ClaimSaid:
    return ClaimSaid("open", f"No {matter.what} is noted there ({matter.basis.coverage}).")


def how_often(matter: Matter) -> ClaimSaid:
    counted = tally_of(matter.basis, "round")
    figures = counted.figures()
    rate = f", {figures.per_round} a round" if figures.per_round else ""
    says = f"{begun(matter.what)}: {so_many(figures.count, 'time')}{rate}."
    hits = moments_of(matter.acts, matter)
    placed = f"{so_many(figures.count, 'act')}, {figures.in_rounds} of them in noted rounds"
    told = Statement(f"{placed}{rate} ({matter.basis.coverage}).", "computed", hits, figures.as_json())
    sentences = (told, *by_value(matter, "bout"), quoted(hits[-1]))
    if figures.per_round is None:
        return ClaimSaid("open", f"{says} How often is open: no round of it is noted.", sentences)
    return ClaimSaid("told", says, sentences)


def by_value(matter: Matter, dimension: DimensionName, *, of_success: bool = False) -> tuple[Statement, ...]:
    """Counts by bout, fighter, round or day in a sentence, where there are several."""
    counted = tally_of(matter.basis, dimension)
    values = [one for one in counted.row_values if counted.figures(one).count or counted.figures(one).looked_for]
    if len(values) < 2:
        return ()
    shown = _came_off if of_success else _noted
    parts = (f"{_called(counted, one, matter)} {shown(counted, one)}" for one in values)
    rows = [{dimension: one, **counted.figures(one).as_json()} for one in values]
    hits = moments_of([act for act in matter.acts if act.fields.outcome or not of_success], matter)
    in_rounds = ", acts in so many noted rounds" if dimension == "round" else ""
    what = ", came off of those with an outcome" if of_success else in_rounds
    return (Statement(f"By {dimension}{what}: {', '.join(parts)}.", "computed", hits, {"rows": rows}),)


def _called(counted: Tally, value: Value, matter: Matter) -> str:
    if counted.rows.name == "bout":
        return matter.store.bouts[str(value)].title
    if counted.rows.name == "fighter" and value is not None:
        return name_of(str(value), matter.store)
    return f"R{value}" if counted.rows.name == "round" and value is not None else counted.rows.shown(value)


def _noted(counted: Tally, value: Value) -> str:
    figures = counted.figures(value)
    in_rounds = figures.seen and counted.rows.name == "round" and value is not None
    return f"{figures.count} in {figures.seen.rounds}" if in_rounds and figures.seen else str(figures.count)


def _came_off(counted: Tally, value: Value) -> str:
    figures = counted.figures(value)
    return f"{figures.succeeded} of {figures.with_outcome}"


def goes(matter: Matter) -> ClaimSaid:
    """More and more, less and less, or any trend: of acts a noted round, or of the share that succeeds."""
    asked = matter.question.asked
    over: DimensionName = "day" if asked.over_days else "round"
    measure: Measure = "success" if asked.of == "success" else "per-round"
    counted = tally_of(matter.basis, over, trend=measure)
    told = counted.trends[0]
    acts = [act for act in matter.acts if act.fields.outcome] if measure == "success" else list(matter.acts)
    hits = moments_of(acts, matter)
    of_success = measure == "success"
    what = f"success of {matter.what}" if of_success else matter.what
    verdict, says = trend_said(told.trend, told.words, matter, what)
    if not hits:
        return ClaimSaid(verdict, says)
    by_level = by_value(matter, over, of_success=of_success)
    trend = _trend_sentence(told, what, over, matter, hits)
    return ClaimSaid(verdict, says, (trend, *by_level, *_first_and_last(hits)))


def trend_said(trend: Trend, words: str, matter: Matter, what: str) -> tuple[Verdict, str]:
    """The verdict on a trend, and the answer in a line."""
    claim = matter.question.asked.claim
    if trend.too_few is not None:
        unplaced = [act for act in matter.acts if (act.bout, act.round) not in matter.basis.noted]
        rounds = "; its rounds are not noted" if len(unplaced) == len(matter.acts) else ""
        return "open", f"Open: too little is noted of {what} to tell a trend ({trend.too_few}{rounds})."
    if not trend.is_clear():
        p = f" ({p_value(trend.p_value)})" if trend.p_value is not None else ""
        return "open", f"Open: {what} shows no clear trend{p}; it may rise, fall or stay."
    way = {1: "more and more", -1: "less and less"}[trend.direction]
    verdict: Verdict = "yes" if claim in (way, "any trend") else "no"
    return verdict, f"{begun(verdict)}: {what} comes {way}, {words}."


def _trend_sentence(told: ValueTrend, what: str, over: str, matter: Matter, hits: tuple[Hit, ...]) -> Statement:
    p = f" ({p_value(told.trend.p_value)})" if told.trend.p_value is not None else ""
    text = f"{begun(what)} over {over}s: {told.words}{p}, from {told.count} acts ({matter.basis.coverage})."
    return Statement(text, "computed", hits, told.as_json())


def _first_and_last(hits: tuple[Hit, ...]) -> tuple[Statement, ...]:
    """The first and the last moment in their own words."""
    return tuple(quoted(hit) for hit in (hits[:1] if len(hits) == 1 else (hits[0], hits[-1])))


def works(matter: Matter) -> ClaimSaid:
    figures = tally_of(matter.basis, "outcome").figures()
    judged = [act for act in matter.acts if act.fields.outcome]
    if not judged:
        return ClaimSaid(
            "open", f"Open: no outcome is noted of {matter.what} ({so_many(figures.count, 'act')}).", _all(matter)
        )
    acts = f"{so_many(figures.count, 'act')}, {figures.with_outcome} with an outcome"
    text = f"{acts}; came off: {figures.success_said}."
    told = Statement(text, "computed", moments_of(judged, matter), figures.as_json())
    well = [act for act in judged if did_succeed(act)]
    badly = [act for act in judged if not did_succeed(act)]
    examples = tuple(quoted(moments_of(some, matter)[-1]) for some in (well, badly) if some)
    share = figures.success
    if figures.with_outcome < FEWEST or share is None:
        reason = f"only {figures.with_outcome} with an outcome, and {FEWEST} are needed"
        return ClaimSaid("open", f"Open: too few notes of {matter.what} ({reason}).", (told, *examples))
    if share.low <= 0.5 <= share.high:
        says = f"Open: {share.percent} of {matter.what} come off; the interval holds both more and less than half."
        return ClaimSaid("open", says, (told, *examples))
    verdict: Verdict = "yes" if share.low > 0.5 else "no"
    often = "more" if verdict == "yes" else "less"
    says = f"{begun(verdict)}: {matter.what} comes off {often} often than not, {share.percent}."
    return ClaimSaid(verdict, says, (told, *examples))


def _all(matter: Matter) -> tuple[Statement, ...]:
    figures = tally_of(matter.basis, "outcome").figures()
    hits = moments_of(matter.acts, matter)
    return (
        Statement(f"{so_many(figures.count, 'act')} noted, none with an outcome.", "computed", hits, figures.as_json()),
    )


def when(matter: Matter) -> ClaimSaid:
    counted = tally_of(matter.basis, "round", trend="per-round")
    rows = by_value(matter, "round")
    placed = [act for act in matter.acts if act.round is not None]
    hits = moments_of(matter.acts, matter)
    if not placed:
        return ClaimSaid("open", f"Open: no note of {matter.what} tells its round.", (quoted(hits[-1]),))
    told = counted.trends[0]
    clear = told.trend.too_few is None and told.trend.is_clear()
    way = f"; over the rounds it goes {told.words}" if clear else "; that it comes early or late is not clear"
    rounds = sorted({act.round for act in placed if act.round is not None})
    says = f"{begun(matter.what)}: noted in {', '.join(f'R{one}' for one in rounds)}{way}."
    return ClaimSaid("told", says, (*rows, *_first_and_last(moments_of(placed, matter))))


def who_more(matter: Matter) -> ClaimSaid:
    people = matter.by or _of_one_bout(matter)
    if len(people) != 2:
        says = "Open: name two fighters, or a bout; by fighter it is noted so."
        return ClaimSaid("open", says, by_value(matter, "fighter") or how_often(matter).sentences[:1])
    compared = compare(matter.store, people, matter.filters.model_copy(update={"by": ()}), inferred=matter.inferred)
    found = next((one for one in compared.concepts if one.concept is EVERY), None)
    if found is None:
        return nothing_noted(matter)
    first, second = (name_of(one, matter.store) for one in (compared.first, compared.second))
    unit = compared.unit
    sentences = []
    for name, figures in ((first, found.first), (second, found.second)):
        rate = figures.per_round if unit == "round" else figures.per_minute
        often = f", {rate} a {unit}" if rate else ""
        came_off = f"; came off {figures.success_said}" if figures.success else ""
        if figures.count:
            text = f"{name}: {so_many(figures.count, 'act')}{often}{came_off}."
            sentences.append(Statement(text, "computed", moments_of(figures.acts, matter), figures.as_json()))
    of_success = matter.question.asked.of == "success"
    difference = found.shares if of_success else found.rates
    called = "success with" if of_success else ""
    what = " ".join(filter(None, (called, matter.called)))
    notices = tuple(one for one in compared.notices if one not in matter.basis.notices(matter.basis.acts))
    if difference.effect is None or difference.p_value is None:
        return ClaimSaid("open", f"Open: too few notes of {what} ({difference.too_few}).", tuple(sentences), notices)
    held = f"{first} against {second}"
    if of_success:
        size = f"{held}, {difference.effect.points} hundredths, {p_value(difference.p_value)}"
    else:
        counts = f"{found.first.count} and {found.second.count} acts"
        size = f"{held}, {counts}, {difference.effect} times as often, {p_value(difference.p_value)}"
    still = 0.0 if of_success else 1.0
    if difference.p_value >= LEVEL or difference.effect.value == still:
        return ClaimSaid("open", f"Open: who has more {what} is not clear ({size}).", tuple(sentences), notices)
    more = first if difference.effect.value > still else second
    return ClaimSaid("told", f"{more} has more {what} ({size}).", tuple(sentences), notices)


def _of_one_bout(matter: Matter) -> tuple[str, ...]:
    if len(matter.filters.bout) != 1:
        return ()
    return tuple(fighter.id for fighter in matter.store.bouts[matter.filters.bout[0]].fighters)
