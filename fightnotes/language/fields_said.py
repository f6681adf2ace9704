"""The fields of a note that its words tell: one value of a field at most, with a probability and the words."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Literal

from fightnotes.language import in_notes
from fightnotes.language.attribution import Person, SaidAct, acts_said
from fightnotes.language.labels import LabelFinder
from fightnotes.language.parts import OF_THE_OTHER
from fightnotes.language.people import People
from fightnotes.language.results import Result
from fightnotes.language.trust import NOTES, Trust
from fightnotes.model import Fields

FieldKey = Literal["by", "on", "target", "outcome"]


@dataclass(frozen=True)
class SaidField:
    """A value that the words of a text tell for one of its fields."""

    key: FieldKey
    value: str
    probability: float
    words: tuple[str, ...]
    """What it stands on, as it stands in the text."""


_NOTHING = Fields()
_AMID = 0.6
"""The same where the other is told of, too, and does no more than stand by."""
_GIVEN = 0.95
"""That the opponent of the one in `by` is acted on, where words tell of something that is done to one."""
_TARGET = 0.95
_OUTCOME = {
    "ignored": 0.95, "hurt": 0.86, "stoppage": 0.9, "foul": 0.88, "knockdown": 0.87, "missed": 0.85,
    "partial": 0.82, "blocked": 0.82, "warning": 0.82, "landed": 0.8, "worked": 0.78,
}  # fmt: skip
_OTHER_OUTCOME = 0.75
_FAINT = 0.65
"""What it is multiplied with where the words are such as tell it less surely."""
_FAINT_OF = {"hurt": 0.55, "landed": 0.75}
"""The same of some outcomes."""
_SENT_BACK = 0.5
"""The same where one who blocks a blow sends another back, and what is noted may be that."""
_OF_EITHER = 0.6
"""The same where both fighters act: each may have an outcome of his own."""
_MANY = 3
"""Clauses that tell something, above which there is often more than one outcome."""
_OF_MANY = 0.85
_BESIDE_ANOTHER = 0.7
"""The same where a blow stands beside a defence or a bait, which may have one of its own."""
_OF_A_BLOW = frozenset(("landed", "missed", "blocked", "partial"))
_OVER = {"stoppage": 4, "knockdown": 3, "foul": 2, "warning": 1, "hurt": 2, "landed": 1}
"""Of several outcomes of one act the one that says the most."""


def fields_said(text: str, people: People, labels: LabelFinder, given: Fields = _NOTHING) -> tuple[SaidField, ...]:
    """What the whole of a text tells beside the fields that are `given`; nothing of what its acts differ in."""
    return fields_of(text, acts_said(text, people, labels), people, given)


def fields_of(
    text: str, acts: Sequence[SaidAct], people: People, given: Fields = _NOTHING, trust: Trust = NOTES
) -> tuple[SaidField, ...]:
    """The same of acts that were read before, those of `text` or some of them."""
    by = _given(given.by) if given.by else _actor(text, acts, trust)
    if given.by:
        acts = [act for act in acts if _may_be_of(act, given.by)]
    on = _acted_on(text, acts, by, people)
    if by and by.value in given.on:
        by = None
    found = [by, on, _target(text, acts), _outcome(text, acts, by, trust)]
    return tuple(field for field in found if field and not getattr(given, field.key))


def _may_be_of(act: SaidAct, fighters: Sequence[str]) -> bool:
    """Whether what a clause tells may be told of these; who ignores a thing did not do it."""
    if act.by:
        return act.by.fighter in fighters
    return not any(each.value == "ignored" for each in act.outcomes)


def _given(fighters: Sequence[str]) -> SaidField | None:
    return SaidField("by", fighters[0], _GIVEN, ()) if len(fighters) == 1 else None


def _actor(text: str, acts: Sequence[SaidAct], trust: Trust) -> SaidField | None:
    carried = [(act, act.by) for act in acts if act.by]
    told = [(act, person) for act, person in carried if person.way != "carried"] or carried
    alone = len({person.fighter for _, person in told}) == 1
    if not alone:
        told = [(act, person) for act, person in told if not _stands_by(act, person)]
    if len({person.fighter for _, person in told}) != 1:
        return None
    act, person = max(told, key=lambda one: trust.of(one[1]))
    return SaidField("by", person.fighter, trust.of(person) * (1 if alone else _AMID), (_clause(text, act),))


def _stands_by(act: SaidAct, person: Person) -> bool:
    """Whether a clause tells of one who is in the way of what is told, rather than of what he does."""
    return not (act.attacks or act.outcomes) and (act.aside or person.way in ("idles", "own", "inside"))


def _acted_on(text: str, acts: Sequence[SaidAct], by: SaidField | None, people: People) -> SaidField | None:
    """The opponent of who acts, where the words tell of something that is done to one."""
    opponent = people.opponent(by.value) if by else None
    if by is None or opponent is None:
        return None
    told = [act for act in acts if act.on or act.targets or act.outcomes or in_notes.PUNCHES.search(_clause(text, act))]
    return SaidField("on", opponent, by.probability, (_clause(text, told[0]),)) if told else None


def _target(text: str, acts: Iterable[SaidAct]) -> SaidField | None:
    said = [each for act in acts for each in act.targets]
    return _one(text, "target", said, _TARGET) if len({each.value for each in said}) == 1 else None


def _outcome(text: str, acts: Sequence[SaidAct], by: SaidField | None, trust: Trust) -> SaidField | None:
    actors = {act.by.fighter for act in acts if act.by}
    if by and len(actors) > 1:
        acts = [act for act in acts if not act.by or act.by.fighter == by.value]
    said = [each for act in acts for each in act.outcomes]
    most = max((_OVER.get(each.value, 0) for each in said), default=0)
    if most:
        said = [each for each in said if each.value not in _OVER or _OVER[each.value] == most]
    if len({each.value for each in said}) != 1:
        return None
    sure = _OUTCOME.get(said[0].value, _OTHER_OUTCOME)
    if all(in_notes.FAINT.fullmatch(text, each.begin, each.stop) for each in said):
        sure *= _FAINT_OF.get(said[0].value, _FAINT)
    if said[0].value == "blocked" and _is_sent_back(text, acts):
        sure *= _SENT_BACK
    if len(actors) > 1:
        sure *= _OF_EITHER
    elif len(acts) > _MANY:
        sure *= _OF_MANY
    elif said[0].value in _OF_A_BLOW and any(in_notes.DEFENCES.search(_clause(text, act)) for act in acts):
        sure *= _BESIDE_ANOTHER
    return _one(text, "outcome", said, min(sure, by.probability * trust.outcome_of) if by else sure)


def _is_sent_back(text: str, acts: Sequence[SaidAct]) -> bool:
    """Whether somebody catches a blow himself and a clause behind tells of another."""
    caught = [
        number
        for number, act in enumerate(acts)
        if any(each.value == "blocked" for each in act.outcomes)
        and not (act.by and act.by.way in OF_THE_OTHER)
        and in_notes.CAUGHT_BY_HIM.search(text, act.clause.begin, act.clause.stop)
    ]
    return bool(caught) and any(act.attacks for act in acts[caught[0] + 1 :])


def _one(text: str, key: FieldKey, said: Sequence[Result], probability: float) -> SaidField:
    words = tuple(dict.fromkeys(text[each.begin : each.stop] for each in said))
    return SaidField(key, said[0].value, probability, words)


def _clause(text: str, act: SaidAct) -> str:
    return " ".join(text[act.clause.begin : act.clause.stop].split())
