"""The acts of a text of several sentences, such as a moment of speech: each with its fields."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from fightnotes.language import spoken
from fightnotes.language.attribution import SaidAct, acts_said
from fightnotes.language.fields_said import FieldKey, SaidField, fields_of
from fightnotes.language.labels import LabelFinder
from fightnotes.language.people import People, find_people
from fightnotes.model import Fields

_NOTHING = Fields()


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
    return tuple(act for act in acts_said(text, people, labels, topic) if _is_done(text, act))


def acts_of(text: str, acts: Iterable[SaidAct], people: People, given: Fields = _NOTHING) -> tuple[ToldAct, ...]:
    """The acts that clauses of a text tell, all of them or those of a part."""
    told: list[ToldAct] = []
    for group in _groups(acts):
        fields = fields_of(text, group, people, given)
        if fields:
            told.append(ToldAct(fields, group[0].clause.begin, group[-1].clause.stop))
    return tuple(told)


def last_spoken_of(text: str, people: People, before: str | None = None) -> str | None:
    """The fighter with whom a pronoun behind the text may go on; `before`, where it names nobody."""
    places = find_people(text, people)
    return places[-1].fighter if places else before


def _groups(acts: Iterable[SaidAct]) -> Iterator[list[SaidAct]]:
    """Clauses that tell of one act."""
    group: list[SaidAct] = []
    for act in acts:
        if group and not _goes_on(group, act):
            yield group
            group = []
        group.append(act)
    if group:
        yield group


def _goes_on(group: Sequence[SaidAct], act: SaidAct) -> bool:
    last = next((each.by for each in reversed(group) if each.by), None)
    if act.by is None and act.clause.sentence != group[-1].clause.sentence:
        return False
    if act.by and last and act.by.fighter != last.fighter:
        return False
    return not (_differ(group, act, "outcomes") or _differ(group, act, "targets"))


def _differ(group: Sequence[SaidAct], act: SaidAct, key: str) -> bool:
    before = {each.value for one in group for each in getattr(one, key)}
    here = {each.value for each in getattr(act, key)}
    return bool(before and here) and before != here


def _is_done(text: str, act: SaidAct) -> bool:
    """Whether a clause tells of something that is done in this exchange."""
    begin = max(text.rfind(mark, 0, act.clause.begin) for mark in ".!?;\n") + 1
    return not (
        spoken.NO_ACT.search(text, begin, act.clause.stop) or text[act.clause.stop : act.clause.stop + 1] == "?"
    )
