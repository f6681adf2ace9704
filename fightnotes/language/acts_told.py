"""The acts of a text of several sentences, such as a moment of speech: each with its fields."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Iterator, Sequence, Set
from dataclasses import dataclass, field, replace
from itertools import pairwise

from fightnotes.language import in_notes
from fightnotes.language.attribution import Person, SaidAct, acts_said
from fightnotes.language.fields_said import FieldKey, SaidField, fields_of
from fightnotes.language.labels import LabelFinder
from fightnotes.language.negation import spans_over
from fightnotes.language.parts import OF_THE_OTHER
from fightnotes.language.people import People, find_people
from fightnotes.language.results import Result
from fightnotes.language.trust import SPEECH
from fightnotes.language.words import lies_in
from fightnotes.model import Fields

_NOTHING = Fields()
_HIT = frozenset(("landed", "hurt", "knockdown", "stoppage"))
"""Outcomes of which one blow may have several: it lands, she is hurt, she is down."""
_OF_BLOWS = frozenset(("passive", "reacts"))
"""Ways in which the other acts by a blow: without one nothing is told of, as in "he was stopped"."""
_STOPS = (".", "!", "?", ";")
"""Behind a clause that no longer tells of those in the next whether they are done."""
_NEAR = 40
"""Characters behind one who acts in which the words for it stand, and behind a clause in which it is praised."""


@dataclass(frozen=True)
class ToldAct:
    """One thing done, as far as the words tell it."""

    fields: tuple[SaidField, ...]
    """Each key once at most; one of which the words do not tell is not there."""
    begin: int
    stop: int
    """From its first clause to its last, which another's may stand between."""

    def value(self, key: FieldKey) -> str | None:
        return next((field.value for field in self.fields if field.key == key), None)


def acts_told(
    text: str, people: People, labels: LabelFinder, given: Fields = _NOTHING, *, topic: str | None = None
) -> tuple[ToldAct, ...]:
    """What a text tells beside the fields that are `given`, which win: an act of nobody among them is left out.

    Clauses of one fighter that follow one another are one act where they do not tell two outcomes or targets. `topic`
    is the fighter who was spoken of before the text (`last_spoken_of` says who that is behind it).
    """
    return acts_of(text, acts_done(text, people, labels, topic), people, given)


def acts_done(text: str, people: People, labels: LabelFinder, topic: str | None = None) -> tuple[SaidAct, ...]:
    """What each clause tells of this exchange; history, plans, advice and questions are left out."""
    undone = _undone(text)
    acts = [
        act
        for act in acts_said(text, people, labels, topic)
        if not lies_in(undone, act.clause.begin) and _is_done(text, act)
    ]
    acts = [_praised(text, act) for act in acts]
    told = {act.clause.sentence for act in acts if act.by and (act.attacks or not act.aside)}
    return tuple(act for act in acts if not act.aside or act.attacks or act.clause.sentence not in told)


def _praised(text: str, act: SaidAct) -> SaidAct:
    """A counter of which no outcome is told and that is praised has landed."""
    praise = in_notes.PRAISED_COUNTER.search(text, act.clause.begin, act.clause.stop + _NEAR)
    if act.outcomes or not praise or praise.start() >= act.clause.stop or any(spans_over(text, *praise.span())):
        return act
    return replace(act, outcomes=(Result("landed", *praise.span()),))


def acts_of(text: str, acts: Iterable[SaidAct], people: People, given: Fields = _NOTHING) -> tuple[ToldAct, ...]:
    """The acts that clauses of a text tell, all of them or those of a part."""
    told: list[ToldAct] = []
    for group in _groups(acts):
        fields = fields_of(text, group, people, given, SPEECH)
        if fields:
            told.append(ToldAct(fields, group[0].clause.begin, group[-1].clause.stop))
    return tuple(told)


def last_spoken_of(text: str, people: People, before: str | None = None) -> str | None:
    """The fighter with whom a pronoun behind the text may go on; `before`, where it names nobody."""
    places = find_people(text, people)
    return places[-1].fighter if places else before


def _groups(acts: Iterable[SaidAct]) -> Iterator[list[SaidAct]]:
    """Clauses that tell of one act."""
    group = _Group()
    for act in acts:
        if group.acts and not group.goes_on_with(act):
            yield group.acts
            group = _Group()
        group.take(act)
    if group.acts:
        yield group.acts


@dataclass
class _Group:
    acts: list[SaidAct] = field(default_factory=list)
    actor: str | None = None
    outcomes: set[str] = field(default_factory=set)
    targets: set[str] = field(default_factory=set)

    def goes_on_with(self, act: SaidAct) -> bool:
        if act.by is None and act.clause.sentence != self.acts[-1].clause.sentence:
            return False
        if act.by and self.actor and act.by.fighter != self.actor:
            return False
        return _agree(self.outcomes, act.outcomes) and _agree(self.targets, act.targets)

    def take(self, act: SaidAct) -> None:
        self.acts.append(act)
        self.actor = act.by.fighter if act.by else self.actor
        self.outcomes |= {each.value for each in act.outcomes}
        self.targets |= {each.value for each in act.targets}


def _agree(before: Set[str], said: Sequence[Result]) -> bool:
    here = {each.value for each in said}
    return not before or not here or before == here or before | here <= _HIT


def _undone(text: str) -> list[tuple[int, int]]:
    """Spans of what is told as history, plan or advice, each to the next turn of the text, and questions."""
    turns = [0, *(match.end() for match in in_notes.TURN.finditer(text)), len(text)]
    cued = {bisect_right(turns, match.start()) for match in in_notes.NO_ACT.finditer(text)}
    return [
        (begin, stop)
        for number, (begin, stop) in enumerate(pairwise(turns), start=1)
        if number in cued or text[begin:stop].rstrip().endswith("?")
    ]


def _is_state(text: str, act: SaidAct, person: Person) -> bool:
    """Whether the words tell how one is, or where, rather than what he does."""
    owns = person.way == "own"
    if person.way == "carried" or (act.attacks and not owns):
        return False
    if owns and (act.outcomes or in_notes.LOWERED.match(text, person.stop)):
        return False
    return in_notes.STATE.match(text, person.stop, act.clause.stop) is not None


def _is_undone(text: str, act: SaidAct, person: Person) -> bool:
    """Whether one only is something, or stands by, or does not do it."""
    if person.way in OF_THE_OTHER:
        return person.way == "idles"
    if person.begin < act.clause.begin and text[person.begin : act.clause.begin].rstrip().endswith(_STOPS):
        return False
    return _is_state(text, act, person) or in_notes.DENIED.match(text, person.stop) is not None


def _is_aside(text: str, act: SaidAct, person: Person) -> bool:
    """Of a clause without a blow: whether it takes one to make another act in it, or tells of an official."""
    return person.way in _OF_BLOWS or in_notes.OFFICIAL.match(text, act.clause.begin) is not None


def _is_done(text: str, act: SaidAct) -> bool:
    """Whether a clause tells of something that somebody does, rather than of how he is."""
    if act.by is None:
        return True
    tells = bool(act.attacks or act.outcomes or act.concepts)
    if _is_undone(text, act, act.by) or (not tells and _is_aside(text, act, act.by)):
        return False
    if act.by.way == "carried" and in_notes.COMMENT.match(text, act.clause.begin):
        return bool(act.outcomes)
    if tells or act.by.way in OF_THE_OTHER:
        return True
    behind = min(act.clause.stop, act.by.stop + _NEAR)
    return act.by.way != "carried" and in_notes.ACTION.search(text, act.by.begin, behind) is not None
