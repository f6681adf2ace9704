"""Tags on the other side from what the note says: the other hand, or the opposite of the concept's own word.

Which hand a concept means is read from its label and definition ("lead hook", "a rear-hand punch", "with
the lead hand"); which of a fighter's hands that is follows from the stance then held. A note in which
both fighters act is left alone, and so is a clause that names the opponent.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from fightnotes.audit.data import AuditData
from fightnotes.audit.rules.rule import Remark, TooLittle, too_few
from fightnotes.language import in_notes
from fightnotes.language.hands import hand_of, hands_said
from fightnotes.language.names import find_names, name_index
from fightnotes.language.words import words_of
from fightnotes.model import Segment, Vocabulary, acts_of, fold

_CLAUSE = re.compile(r"(?:\b[^\W\d_]\.|[^,.;:!?—–])+[,.;:!?—–]?")
"""Up to the next stop; that of an initial is none."""
_INITIAL = re.compile(r"\b([^\W\d_])\.")


def other_side(data: AuditData) -> Iterator[Remark | TooLittle]:
    hands = {concept.id: hand_of(concept) for concept in data.vocabulary.concepts}
    opposed = dict(_opposed(data.vocabulary))
    for note in data.notes:
        yield from _other_hand(data, note, hands)
        yield from _other_word(data, note, opposed)
    yield from too_few(*data.without_stances, "timed notes are of fighters whose stances nobody gave: no hands")


def _other_hand(data: AuditData, note: Segment, hands: dict[str, str | None]) -> Iterator[Remark]:
    if not any(hands.get(name) for name in note.tag_names):
        return
    acts = acts_of(note)
    actors = {fighter for act in acts for fighter in act.fields.by}
    if len(actors) != 1:
        return
    actor = actors.pop()
    lead = in_notes.LEAD_HAND.get(note.stances.get(actor, ""))
    roles = {hands.get(act.concept or "") for act in acts}
    if lead is None or (None in roles and _may_be_meant(note, hands)):
        return
    said = _hands_said(data, note, actor)
    role = "lead" if said == {lead} else "rear"
    if len(said) == 1 and role not in roles:
        name = next(act.concept or "" for act in acts if hands.get(act.concept or ""))
        hand = f"says {said.pop()}, the {role} hand of {actor}, {note.stances[actor]}"
        told = f"{hand}, and is tagged #{name}, a punch of the {hands[name]} hand"
        yield Remark((data.place(note),), told, f"#{name}")


def _hands_said(data: AuditData, note: Segment, actor: str) -> set[str]:
    """`left` and `right`, where the note says that one of them punches."""
    said: set[str] = set()
    for clause in _CLAUSE.finditer(note.text):
        here = hands_said(note.text, max(0, clause.start() - 1), clause.end())
        if here and not _names_another(data, note.bout, actor, clause[0]):
            said |= here
    return said


def _names_another(data: AuditData, bout: str, actor: str, clause: str) -> bool:
    opponents = [fighter for fighter in data.bouts[bout].fighters if fighter.id != actor]
    if find_names(clause, name_index(opponents, misheard=True)):
        return True
    initials = {word[0] for fighter in opponents for form in (fighter.name, *fighter.also) for word in form.split()}
    return not initials.isdisjoint(match[1] for match in _INITIAL.finditer(clause))


def _may_be_meant(note: Segment, hands: dict[str, str | None]) -> bool:
    """Whether the hand may be that of another tag: a punch that either hand throws."""
    return any(in_notes.EITHER_HAND.search(tag.name) for tag in note.tags if hands.get(tag.name) is None)


def _opposed(vocabulary: Vocabulary) -> Iterator[tuple[str, tuple[str, str]]]:
    """Concepts whose label differs from another's in one word that is its opposite: id -> own word, opposite."""
    labels = {fold(concept.label): concept.id for concept in vocabulary.concepts}
    for label, name in labels.items():
        words = label.split()
        for one, other in (pair for both in in_notes.OPPOSITES for pair in (both, both[::-1])):
            if one in words and " ".join(other if word == one else word for word in words) in labels:
                yield name, (one, other)


def _other_word(data: AuditData, note: Segment, opposed: dict[str, tuple[str, str]]) -> Iterator[Remark]:
    if opposed.keys().isdisjoint(note.tag_names):
        return
    said = {fold(word.text) for word in words_of(note.text)}
    names = {tag.name for tag in note.tags}
    for tag in note.tags:
        own, other = opposed.get(tag.name, ("", ""))
        if other in said and own not in said and not any(opposed.get(name, ("",))[0] == other for name in names):
            told = f"says '{other}' and never '{own}', and is tagged #{tag.name}"
            yield Remark((data.place(note, tag),), told, f"#{tag.name}")
