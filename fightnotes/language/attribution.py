"""Who did what in a text, clause by clause, as far as its words tell.

Whoever the words do not tell is not guessed: a clause may have an outcome and nobody who acts. The rules are our own,
for notes ("Corvale foot outside, left hand, blocked") and for running speech.
"""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Literal, TypeVar

from fightnotes.language import spoken
from fightnotes.language.clauses import Clause, clauses_of
from fightnotes.language.labels import LabelFinder, find_labels
from fightnotes.language.names import NamePlace
from fightnotes.language.people import People, find_people
from fightnotes.language.results import Result, outcomes_said, targets_said
from fightnotes.language.roles import Role, roles_of
from fightnotes.language.words import Word, is_content, words_of

Way = Literal["subject", "own", "agent", "passive", "defends", "reacts", "idles", "inside", "pronoun", "carried"]
"""How the words tell who acts: named before what is done; owner of the hand or foot that does it; named behind it with
by or from; the other of one to whom it is done, of one who wards it off, of one who reacts to it, of one who stands by
while something is done; named amid other words; taken over by a pronoun; taken over from the clause before."""
_T = TypeVar("_T")
_Part = tuple[Literal["by", "on", "none"], Way]
_PATIENTS = frozenset(("hurt", "knockdown", "ignored"))
"""Outcomes that are told of the one who is acted on: Corvale is down."""
_TOLD_OFF = frozenset(("warning", "foul"))
"""Outcomes that are told of the one who acted, whatever the voice: Corvale is warned."""
_CULPRIT: _Part = ("by", "inside")
_OFFICIAL = re.compile(rf"\W*(?:the )?{spoken.OFFICIALS}", re.IGNORECASE)
_OF_THE_OTHER: frozenset[Way] = frozenset(("passive", "defends", "reacts", "idles"))
"""Ways in which the other is named: what follows may be told of either."""
_AROUND = 200
"""Characters before and behind a name that tell of its part."""
_NEAR = 3
"""Words behind a possessive among which stands what is owned."""


@dataclass(frozen=True)
class Person:
    """A fighter, with the words of the text that tell of the part that he or she has."""

    fighter: str
    way: Way
    begin: int
    stop: int
    led_up_to: bool = False
    """Whether clauses stand before of which nobody is known to act: then it is often another who does."""


@dataclass(frozen=True)
class SaidAct:
    """What one clause tells; `acts_said` makes them."""

    clause: Clause
    by: Person | None = None
    on: Person | None = None
    """Only who is told to be acted on: the opponent of who acts need not be."""
    targets: tuple[Result, ...] = ()
    outcomes: tuple[Result, ...] = ()
    concepts: tuple[str, ...] = ()
    """Ids of those whose labels it says, and neither denies nor only expects."""


@dataclass(frozen=True)
class _Named:
    """A fighter named in a clause."""

    place: NamePlace
    role: Role
    before: Sequence[Word]
    """Words of the clause, folded."""
    behind: str
    owns: bool


def acts_said(text: str, people: People, labels: LabelFinder) -> tuple[SaidAct, ...]:
    """What each clause tells, in order; one that tells nothing of this kind is left out."""
    clauses = clauses_of(text)
    places = find_people(text, people)
    named = _by_clause(clauses, zip(places, roles_of(places, text), strict=True), lambda one: one[0].begin)
    targets = _by_clause(clauses, targets_said(text), lambda one: one.begin)
    outcomes = _by_clause(clauses, outcomes_said(text), lambda one: one.begin)
    done = (one for one in find_labels(text, labels) if one.concept and not one.undone)
    mentions = _by_clause(clauses, done, lambda one: one.begin)
    acts: list[SaidAct] = []
    last: Person | None = None
    known: set[str] = set()
    unknown = False
    for number, clause in enumerate(clauses):
        act = SaidAct(
            clause,
            targets=tuple(targets[number]),
            outcomes=tuple(outcomes[number]),
            concepts=tuple(dict.fromkeys(one.concept for one in mentions[number])),
        )
        here = [_named(text, clause, *one) for one in named[number]]
        known |= {one.place.fighter for one in here}
        act = _with_people(act, here, people) if here else _carried(act, text, last, people, len(known) == 1)
        if act.by and act.by.way == "idles" and not unknown:
            act = replace(act, by=None, on=None)
        if act.by:
            act = replace(act, by=replace(act.by, led_up_to=unknown or act.by.led_up_to))
            last = act.by
        unknown = unknown or act.by is None
        if act.by or act.on or act.targets or act.outcomes or act.concepts:
            acts.append(act)
    return tuple(acts)


def _by_clause(clauses: Sequence[Clause], found: Iterable[_T], begin: Callable[[_T], int]) -> list[list[_T]]:
    """What begins in each clause."""
    begins = [clause.begin for clause in clauses]
    inside: list[list[_T]] = [[] for _ in clauses]
    for one in found:
        number = bisect_right(begins, begin(one)) - 1
        if number >= 0 and begin(one) in clauses[number]:
            inside[number].append(one)
    return inside


def _named(text: str, clause: Clause, place: NamePlace, role: Role) -> _Named:
    owns = text[place.begin : place.stop].endswith(spoken.POSSESSIVE)
    before = words_of(text[max(clause.begin, place.begin - _AROUND) : place.begin])
    behind = text[place.stop : min(clause.stop, place.stop + _AROUND)]
    return _Named(place, role, [word._replace(text=word.text.casefold()) for word in before], behind, owns)


def _with_people(act: SaidAct, named: Sequence[_Named], people: People) -> SaidAct:
    by, on = None, None
    for one in named:
        outcomes = {each.value for each in act.outcomes}
        patient = any(each.value in _PATIENTS and each.begin >= one.place.begin for each in act.outcomes)
        part, way = _CULPRIT if outcomes and outcomes <= _TOLD_OFF else _part(one, patient)
        person = Person(one.place.fighter, way, one.place.begin, one.place.stop)
        by = person if part == "by" and by is None else by
        on = person if part == "on" and on is None else on
    if by and on and by.fighter == on.fighter:
        on = None
    if by is None and on is not None:
        opponent = people.opponent(on.fighter)
        by = replace(on, fighter=opponent) if opponent else None
    return replace(act, by=by, on=on)


def _part(one: _Named, patient: bool) -> _Part:
    """`patient`: whether the clause tells of one who is acted on."""
    return _by_words_before(one) or _by_words_behind(one, patient) or _as_subject(one)


def _by_words_before(one: _Named) -> _Part | None:
    last = one.before[-1].text if one.before else ""
    passive = spoken.PASSIVE.match(one.behind) is not None
    if last == spoken.AGENT or (_sent(one.before) and not (passive and last == spoken.OWNER)):
        return "by", "agent"
    if last in spoken.ASKING:
        return "none", "inside"
    if last in spoken.PREPOSITIONS and not passive:
        return ("on", "inside") if last in spoken.TOWARDS and not one.owns else ("none", "inside")
    return None


def _by_words_behind(one: _Named, patient: bool) -> _Part | None:
    if spoken.PASSIVE.match(one.behind) or spoken.COUNTERED.match(one.behind):
        return "on", "passive"
    if spoken.DEFENDS.match(one.behind):
        return "on", "defends"
    if patient or spoken.REACTS.match(one.behind):
        return "on", "reacts"
    if spoken.RECEIVES.match(one.behind):
        return "on", "passive"
    return ("on", "idles") if spoken.IDLES.match(one.behind) else None


def _as_subject(one: _Named) -> _Part:
    if one.role == "is acted on":
        return "on", "inside"
    if one.owns:
        behind = " ".join(word.text for word in words_of(one.behind)[:_NEAR])
        return ("by", "own") if spoken.OWNED.search(behind) else ("none", "own")
    opens = all(word.text in spoken.BEFORE_SUBJECTS or not is_content(word.text) for word in one.before)
    return "by", "subject" if opens else "inside"


def _sent(before: Sequence[Word]) -> bool:
    """Whether the words before a name make it that of one whose punch they name."""
    *words, last = [word.text for word in before] or [""]
    if last == spoken.OWNER:
        return bool(words) and spoken.OWNED.search(words[-1]) is not None
    return last == spoken.SENDER and not spoken.AWAY & set(words) and spoken.OWNED.search(" ".join(words)) is not None


def _carried(act: SaidAct, text: str, last: Person | None, people: People, alone: bool) -> SaidAct:
    """A clause that names nobody: the one who acted before, where nothing says that it is another.

    A pronoun is taken for that one only where nobody else was named before (`alone`).
    """
    said = text[act.clause.begin : act.clause.stop]
    words = [word for word in words_of(said) if word.text.casefold() not in spoken.BEFORE_SUBJECTS]
    pronoun = bool(words) and words[0].text.casefold() in spoken.SUBJECTS
    patient = any(each.value in _PATIENTS for each in act.outcomes)
    if last is None or last.way in _OF_THE_OTHER or _OFFICIAL.match(_from(said, words)):
        return act
    if pronoun and (patient or not alone):
        return act
    told = _from(said, words[1:] if pronoun else words)
    if spoken.PASSIVE.match(told) or spoken.RECEIVES.match(told):
        opponent = people.opponent(last.fighter)
        return replace(act, by=replace(last, fighter=opponent, way="passive") if opponent else None)
    return replace(act, by=replace(last, way="pronoun" if pronoun else "carried"))


def _from(text: str, words: Sequence[Word]) -> str:
    return text[words[0].begin :] if words else ""
