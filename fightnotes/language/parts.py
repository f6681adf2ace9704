"""The part that one who is named has in a clause, as the words around the name tell it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from fightnotes.language import in_notes, spoken
from fightnotes.language.words import Word, is_content, words_of

Way = Literal[
    "subject", "own", "agent", "passive", "defends", "reacts", "idles", "struck", "beside", "inside", "hand",
    "answered", "carried",
]  # fmt: skip
"""How the words tell who acts: named before what is done; owner of the hand or foot that does it; named behind it with
by or from; the other of one to whom it is done, of one who wards it off, of one who reacts to it, of one who stands by
while something is done, of one who stands behind the verb as struck; named alone between commas or stops; named amid
other words; the one of that stance, by the hand that punches; the other of one who did no more than leave himself
open; taken over from the clause before."""
Part = tuple[Literal["by", "on", "none"], Way]
OF_THE_OTHER: frozenset[Way] = frozenset(("passive", "defends", "reacts", "idles", "struck", "answered"))
"""Ways in which the other is named: what follows may be told of either."""
_NEAR = 3
"""Words behind a possessive among which stands what is owned."""


@dataclass(frozen=True)
class Named:
    """A fighter named in a clause, or a pronoun for one."""

    fighter: str
    begin: int
    stop: int
    before: Sequence[Word]
    """Words of the clause before it, folded."""
    behind: str
    owns: bool
    pronoun: bool = False
    from_before: bool = False
    """Whether it is known from before the text alone whom the pronoun stands for."""
    acted_on: bool = False
    """Whether its place in the sentence makes it that of one who is acted on."""


def part_of(one: Named, patient: bool) -> Part:
    """`patient`: whether the clause tells of one who is acted on."""
    return _by_words_before(one) or _by_words_behind(one, patient) or _as_subject(one)


def _by_words_before(one: Named) -> Part | None:
    last = one.before[-1].text if one.before else ""
    passive = spoken.PASSIVE.match(one.behind) is not None
    if last == spoken.AGENT or (_sent(one.before) and not (passive and last == in_notes.OWNER)):
        return "by", "agent"
    if last in in_notes.ASKING:
        return "none", "inside"
    numbered = len(one.before) > 1 and one.before[-2].text in in_notes.ORDINALS
    if last in in_notes.PREPOSITIONS and not passive and not numbered:
        return ("on", "inside") if last in spoken.TOWARDS and not one.owns else ("none", "inside")
    if last in in_notes.STRIKES and not one.owns:
        return "on", "struck"
    return None


def _by_words_behind(one: Named, patient: bool) -> Part | None:
    if one.owns:
        return ("on", "passive") if in_notes.OWN_PART_HIT.match(one.behind) else None
    if any(pattern.match(one.behind) for pattern in (spoken.PASSIVE, in_notes.COUNTERED, in_notes.OWN_PART_HIT)):
        return "on", "passive"
    if in_notes.DEFENDS.match(one.behind):
        return "on", "defends"
    reacts = in_notes.REACTS.match(one.behind)
    if patient or (reacts and not in_notes.OBJECT_BEHIND.match(one.behind, reacts.end())):
        return "on", "reacts"
    if in_notes.RECEIVES.match(one.behind):
        return "on", "passive"
    return ("on", "idles") if in_notes.IDLES.match(one.behind) else None


def _as_subject(one: Named) -> Part:
    if one.acted_on:
        return "on", "inside"
    if one.owns:
        behind = " ".join(word.text for word in words_of(one.behind)[:_NEAR])
        return ("by", "own") if in_notes.OWNED.search(behind) else ("none", "own")
    opens = all(word.text in in_notes.BEFORE_SUBJECTS or not is_content(word.text) for word in one.before)
    return "by", "subject" if opens else "inside"


def _sent(before: Sequence[Word]) -> bool:
    """Whether the words before a name make it that of one whose punch they name."""
    *words, last = [word.text for word in before] or [""]
    if last == in_notes.OWNER:
        return bool(words) and in_notes.OWNED.search(words[-1]) is not None
    return (
        last == in_notes.SENDER
        and not in_notes.AWAY & set(words)
        and in_notes.OWNED.search(" ".join(words)) is not None
    )
