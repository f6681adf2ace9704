"""Hands: which one a concept punches with, which one a text says, and whose that is."""

from __future__ import annotations

from collections.abc import Iterable

from fightnotes.language import in_notes
from fightnotes.language.people import People
from fightnotes.model import Concept

_BACK = 40
"""Characters before a hand that may tell that it is the opponent's."""


def hand_of(concept: Concept) -> str | None:
    """`lead` or `rear` where the label, or else the definition, names one hand as the one that punches."""
    match = in_notes.LABEL_HAND.search(concept.label) or in_notes.DEFINED_HAND.search(concept.definition)
    return next(group for group in match.groups() if group).lower() if match else None


def hands_said(text: str, begin: int = 0, stop: int | None = None) -> set[str]:
    """`left` and `right`, where `text[begin:stop]` says that one of them punches."""
    said: set[str] = set()
    for match in in_notes.PUNCH.finditer(text, begin, len(text) if stop is None else stop):
        group = next(index for index, value in enumerate(match.groups(), 1) if value)
        if not _avoided(text, match.start(group)):
            said.add(match[group].lower())
    return said


def _avoided(text: str, begin: int) -> bool:
    """Whether the hand that is named at an offset is one to be got away from: the opponent's."""
    return in_notes.AVOIDED.search(text, max(0, begin - _BACK), begin) is not None


def puncher(hand: str, concepts: Iterable[Concept], people: People) -> str | None:
    """The one fighter whose `hand` does what the concepts mean: a cross with the left is the southpaw's.

    None where they name no hand, or both, or where both fighters stand alike.
    """
    roles = {role for role in map(hand_of, concepts) if role}
    if len(roles) != 1:
        return None
    lead = roles == {"lead"}
    stances = [stance for stance, hand_in_front in in_notes.LEAD_HAND.items() if (hand_in_front == hand) == lead]
    found = {people.stances[stance] for stance in stances if stance in people.stances}
    return found.pop() if len(found) == 1 else None


def power_hand(text: str, people: People) -> str | None:
    """Whose left or right a text says, where the fighters stand opposite: the rear hand is the one that is named so.

    Whoever means the lead hand says jab, hook or uppercut (common practice, no source).
    """
    if set(people.stances) != set(in_notes.LEAD_HAND):
        return None
    said = {
        (match["hand"] or match["bare"] or match["alone"]).casefold()
        for match in in_notes.A_HAND.finditer(text)
        if not _avoided(text, match.start(match.lastgroup or 0))
    }
    stances = [stance for stance, lead in in_notes.LEAD_HAND.items() if {lead} != said]
    return people.stances[stances[0]] if len(said) == 1 else None
