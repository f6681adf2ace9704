"""The sections of a match sheet: habits, stances, rounds, ranges, opponents, answers, the two against each other."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence

from fightnotes.briefing.asked_of import name_of
from fightnotes.briefing.numbers import FEWEST
from fightnotes.briefing.sheet_lines import Section, SheetLine, Studied, by_weight, told_concepts
from fightnotes.language import asked
from fightnotes.tally.acts import CountedAct
from fightnotes.tally.dimensions import EVERY
from fightnotes.tally.figures import Figures, figures_of, plain_estimate, seen_in
from fightnotes.tally.proportion import share
from fightnotes.tally.so_many import so_many
from fightnotes.tally.tally import tally_of
from fightnotes.tally.trend import FEWEST_EVENTS

_MOST_HABITS = 12
_MOST_ANSWERS = 4
_STANCES = ("orthodox", "southpaw")
_Answered = tuple[CountedAct, list[CountedAct]]
"""An act, and what was done about it."""


def sections_of(studied: Studied) -> tuple[Section, ...]:
    if not studied.basis.acts:
        return (Section("What is noted", "acts of all bouts", unsaid=f"no act of {studied.name} is noted"),)
    return (
        _habits(studied),
        *(_against_stance(studied, stance) for stance in _STANCES),
        _by_part(studied),
        _by_range(studied),
        _against_whom(studied),
        _answers(studied),
        _against_the_other(studied),
    )


def _lines(studied: Studied, figures: Sequence[tuple[str, Figures]], *, rate: bool) -> tuple[SheetLine, ...]:
    return tuple(studied.line(studied.label(concept), each, rate=rate) for concept, each in figures)


def _habits(studied: Studied) -> Section:
    counted = tally_of(studied.basis, "concept", "round", trend="per-round")
    trends = {str(one.value): one for one in counted.trends}
    told, few = told_concepts(counted, EVERY, studied.store)
    lines = []
    for concept in told[:_MOST_HABITS]:
        trend = trends.get(concept)
        clear = trend and trend.trend.too_few is None and trend.trend.is_clear(trend.p_adjusted)
        more = (f"over the rounds {trend.words}",) if trend and clear else ()
        lines.append(studied.line(studied.label(concept), counted.figures(concept), more=more))
    about = "the commonest acts, for each noted round"
    if told[_MOST_HABITS:]:
        about += f"; {so_many(len(told[_MOST_HABITS:]), 'more concept')} left out"
    rare = _lines(studied, [(one, counted.figures(one)) for one in few], rate=False)
    return Section("Habits", about, tuple(lines), rare)


def _against_stance(studied: Studied, stance: str) -> Section:
    title = f"Against {stance}"
    counted = tally_of(studied.basis, "concept", "stance")
    theirs = f"; {studied.other_name} stands so" if stance in studied.other_stances else ""
    about = f"acts while an opponent stood {stance}: no rates, as how long that was is not counted{theirs}"
    if stance not in counted.column_values:
        return Section(title, about, unsaid=f"no act of {studied.name} is noted against {stance}")
    told, few = told_concepts(counted, stance, studied.store)
    return Section(
        title,
        about,
        _lines(studied, [(one, counted.figures(one, stance)) for one in told], rate=False),
        _lines(studied, [(one, counted.figures(one, stance)) for one in few], rate=False),
    )


def parts_of(rounds: int) -> list[tuple[str, int, int]]:
    """Thirds of so many rounds, the first ones longer where they do not divide: name, first and last round of each."""
    third, left = divmod(rounds, 3)
    sizes = [third + (left > place) for place in range(3)]
    ends = [sum(sizes[: place + 1]) for place in range(3)]
    named = zip(("early", "middle", "late"), sizes, ends, strict=True)
    return [(name, end - size + 1, end) for name, size, end in named if size]


def _by_part(studied: Studied) -> Section:
    basis, title = studied.basis, "Early, middle, late"
    longest = max(basis.rounds.held.values(), default=0)
    parts = parts_of(longest)
    about = f"acts a noted round, in thirds of the longest of the bouts, {so_many(longest, 'round')}"
    if not any(act.round for act in basis.acts):
        return Section(title, about, unsaid="no round is noted")
    counts: dict[str, list[CountedAct]] = defaultdict(list)
    for act in basis.acts:
        for concept in act.concepts if act.round else ():
            counts[concept].append(act)
    told, _ = by_weight({concept: len(acts) for concept, acts in counts.items()}, studied.store)
    lines = []
    for concept in told:
        if len(counts[concept]) < FEWEST_EVENTS:
            continue
        figures = [(name, first, last, _between(studied, counts[concept], first, last)) for name, first, last in parts]
        says = tuple(f"{name} (R{first}-{last}) {_rated(each)}" for name, first, last, each in figures)
        rows = [{"part": name, "first": first, "last": last, **each.as_json()} for name, first, last, each in figures]
        whole = figures_of(counts[concept], basis.noted, seen_in(basis.noted.values()))
        moments = studied.moments(counts[concept])
        lines.append(SheetLine(studied.label(concept), says, moments, whole, counted={"parts": rows}))
    unsaid = "" if lines else f"no concept has {FEWEST_EVENTS} acts in rounds"
    return Section(title, about, tuple(lines), unsaid=unsaid)


def _rated(figures: Figures) -> str:
    return f"{figures.count}: {figures.per_round}" if figures.per_round else "not noted"


def _between(studied: Studied, acts: Sequence[CountedAct], first: int, last: int) -> Figures:
    noted = studied.basis.noted
    return figures_of(
        [act for act in acts if act.round is not None and first <= act.round <= last],
        noted,
        seen_in(one for one in noted.values() if first <= one.number <= last),
    )


def _by_range(studied: Studied) -> Section:
    vocabulary, store = studied.store.vocabulary, studied.store
    title = "By range"
    found = next(filter(None, map(vocabulary.resolve, asked.RANGE_LABELS)), None)
    if found is None:
        about = "acts in moments that are tagged with a range"
        return Section(title, about, unsaid="left out: the vocabulary has no concept called range or distance")
    about = f"acts in moments that are tagged with a concept below {studied.label(found)}"
    lines: list[SheetLine] = []
    few: list[SheetLine] = []
    for each in vocabulary.with_narrower(found):
        numbers = {int(number) for tag in vocabulary.with_narrower(each) for number in store.tagged.get(tag, ())}
        there = [act for act in studied.basis.acts if numbers & act.ids and not _is_range(act, found)]
        by_concept: dict[str, list[CountedAct]] = defaultdict(list)
        for act in there:
            for concept in act.concepts:
                by_concept[concept].append(act)
        told, rare = by_weight({concept: len(acts) for concept, acts in by_concept.items()}, store)
        for concepts, into in ((told, lines), (rare, few)):
            for concept in concepts:
                figures = figures_of(by_concept[concept], studied.basis.noted, None)
                into.append(studied.line(f"{studied.label(each)}: {studied.label(concept)}", figures, rate=False))
    return Section(title, about, tuple(lines), tuple(few), "" if lines or few else "no moment with a range is noted")


def _is_range(act: CountedAct, found: str) -> bool:
    return found in act.concepts


def _against_whom(studied: Studied) -> Section:
    counted = tally_of(studied.basis, "concept", "opponent")
    lines: list[SheetLine] = []
    few: list[SheetLine] = []
    opponents = [one for one in counted.column_values if one is not None]
    for opponent in sorted(opponents, key=lambda one: one != studied.other):
        name = name_of(str(opponent), studied.store)
        told, _ = told_concepts(counted, opponent, studied.store)
        rows: list[tuple[str, Figures]] = [("all acts", counted.figures(EVERY, opponent))]
        rows += [(studied.label(concept), counted.figures(concept, opponent)) for concept in told]
        for called, figures in rows:
            into = lines if figures.with_outcome >= FEWEST else few
            into.append(studied.line(f"{called} against {name}", figures, rate=False, of_other=True))
    about = "the share that came off of acts with an outcome, the other of this sheet first"
    return Section("What works against whom", about, tuple(lines), tuple(few))


def _answers(studied: Studied) -> Section:
    """What opponents did about each habit that worked."""
    counted = tally_of(studied.basis, "concept")
    told, _ = told_concepts(counted, EVERY, studied.store)
    lines: list[SheetLine] = []
    few: list[SheetLine] = []
    for habit in told[:_MOST_HABITS]:
        acts = counted.acts(habit)
        answers = {id(act): studied.near.answers(act) for act in acts}
        called = studied.label(habit)
        answered = [act for act in acts if answers[id(act)]]
        if answered:
            lines.append(_answer(studied, f"{called}: any", [(act, answers[id(act)]) for act in answered], len(acts)))
        by_kind: dict[str, list[_Answered]] = defaultdict(list)
        for act in answered:
            kinds: dict[str, list[CountedAct]] = defaultdict(list)
            for one in answers[id(act)]:
                kinds[_kind(studied, one)].append(one)
            for kind, some in kinds.items():
                by_kind[kind].append((act, some))
        commonest = sorted(by_kind.items(), key=lambda item: (-len(item[1]), item[0]))
        for kind, found in commonest[:_MOST_ANSWERS]:
            into = lines if len(found) >= FEWEST else few
            into.append(_answer(studied, f"{called}: {kind}", found, len(acts)))
    about = "how often another's act that worked came with a habit or right after it; chance is not taken off"
    return Section("Answers that worked", about, tuple(lines), tuple(few), "" if lines else "none is noted")


def _kind(studied: Studied, act: CountedAct) -> str:
    people = " and ".join(name_of(who, studied.store) for who in act.fields.by)
    return f"{studied.label(act.concept) if act.concept else 'no tag'} by {people}"


def _answer(studied: Studied, called: str, found: Sequence[_Answered], of: int) -> SheetLine:
    """Acts with their answers, of so many acts."""
    rate = share(len(found), of)
    assert rate is not None
    together = sum(act.bout in studied.met for act, _ in found)
    says = [f"{len(found)} of {of}: {rate.percent}"]
    says += [f"{together} against {studied.other_name}"] if together else []
    moments = studied.moments([one for act, some in found for one in (act, *some)])
    numbers = {"count": len(found), "of": of, "share": plain_estimate(rate)}
    return SheetLine(called, tuple(says), moments, None, together, numbers)


def _against_the_other(studied: Studied) -> Section:
    title = f"Against {studied.other_name}"
    noted = studied.basis.noted
    seen = seen_in(one for one in noted.values() if one.bout in studied.met)
    about = f"their bouts against each other alone, {so_many(seen.rounds, 'noted round')}"
    if not studied.met:
        return Section(title, about, unsaid="they have not met in this library")
    by_concept: dict[str, list[CountedAct]] = defaultdict(list)
    for act in studied.basis.acts:
        if act.bout in studied.met:
            for concept in act.concepts:
                by_concept[concept].append(act)
    told, rare = by_weight({concept: len(acts) for concept, acts in by_concept.items()}, studied.store)
    figures = {concept: figures_of(acts, noted, seen) for concept, acts in by_concept.items()}

    def lines(concepts: Sequence[str], rate: bool) -> tuple[SheetLine, ...]:
        return tuple(studied.line(studied.label(one), figures[one], rate=rate, of_other=True) for one in concepts)

    return Section(title, about, lines(told, True), lines(rare, False), "" if by_concept else "nothing is noted")
