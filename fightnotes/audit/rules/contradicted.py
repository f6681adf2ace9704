"""Fighters in `by` and outcomes that the words of the note contradict, as far as its clauses tell who does what.

Only what the words say outright counts. A fighter: nobody else is named, and the clause that names him tells of his
hand, of a technique or of a blow that lands. An outcome: landed against missed, blocked or ignored, of one act.
"""

from __future__ import annotations

from collections.abc import Iterator, Set

from fightnotes.audit.data import AuditData
from fightnotes.audit.rules.rule import Remark
from fightnotes.language.attribution import Person, SaidAct
from fightnotes.language.fields_said import fields_of
from fightnotes.language.note_reader import NoteReader
from fightnotes.language.people import find_people
from fightnotes.language.pronouns import pronouns_of
from fightnotes.model import Fields, Segment

_NAMED = frozenset(("subject", "own", "agent"))
_CAME_TO = frozenset(("landed", "hurt", "knockdown", "stoppage"))
_CAME_TO_NOTHING = frozenset(("missed", "blocked", "ignored"))
_OF_THE_OTHER = frozenset(("blocked",))
"""Said of what a fighter who is named did against the other, where the outcome is that of the answer."""


def contradicted_fields(data: AuditData) -> Iterator[Remark]:
    reader = NoteReader(data.bouts, data.vocabulary)
    for note in data.notes:
        if not note.text or any(tag.own != Fields() for tag in note.tags):
            continue
        named = {place.fighter for place in find_people(note.text, reader.people(note))}
        if _may_tell_of_another(note, named) or _is_told(note):
            acts = reader.acts(note)
            yield from _other_fighter(data, note, acts)
            yield from _other_outcome(data, note, acts, reader, bool(named))


def _may_tell_of_another(note: Segment, named: Set[str]) -> bool:
    """Whether it is worth the time to read its clauses for one who acts and is not in `by`.

    Nobody is told outright to act who is not named, or whom no pronoun stands for behind a name.
    """
    if not note.fields.by or not named:
        return False
    return not named <= set(note.fields.by) or any(pronouns_of(note.text))


def _is_told(note: Segment) -> bool:
    """Whether it has an outcome that words could contradict, and that is of one act."""
    written = set(note.fields.outcome)
    return bool(written) and len(note.tags) <= 1 and (written <= _CAME_TO or written <= _CAME_TO_NOTHING)


def _other_fighter(data: AuditData, note: Segment, acts: tuple[SaidAct, ...]) -> Iterator[Remark]:
    person = _who_acts(acts)
    if note.fields.by and person and person.fighter not in note.fields.by:
        told = f"the words have {person.fighter} act, and it is by:{' by:'.join(note.fields.by)}"
        yield Remark((data.place(note),), told, f"by:{note.fields.by[0]}")


def _who_acts(acts: tuple[SaidAct, ...]) -> Person | None:
    """The one fighter who is named, where the clause tells that he does the thing."""
    people = [act.by or act.on for act in acts if act.by or act.on]
    if len({person.fighter for person in people if person}) != 1:
        return None
    if any(each.value == "blocked" for act in acts for each in act.outcomes):
        return None  # by the fighter who parries, it may be
    if any((act.outcomes or act.concepts) and (not act.by or act.by.way == "carried") for act in acts):
        return None  # a clause without a name tells of something done, and it may be the other who does it
    first = acts[0]  # what is told before anybody is named may be another's
    return first.by if first.by and _does(first, first.by) else None


def _does(act: SaidAct, person: Person) -> bool:
    if person.way not in _NAMED or person.led_up_to:
        return False
    landed = any(each.value == "landed" for each in act.outcomes)
    return landed or person.way == "agent" or bool(act.concepts and not act.aside)


def _other_outcome(
    data: AuditData, note: Segment, acts: tuple[SaidAct, ...], reader: NoteReader, named: bool
) -> Iterator[Remark]:
    if not _is_told(note):
        return
    written = set(note.fields.outcome)
    if named and not any(act.outcomes and act.by and act.by.way in _NAMED for act in acts):
        return  # of a clause without a name it may be the other's act that came out so
    said = {one.key: one for one in fields_of(note.text, acts, reader.people(note), Fields(by=note.fields.by))}
    found = said.get("outcome")
    for one, other in ((_CAME_TO, _CAME_TO_NOTHING), (_CAME_TO_NOTHING, _CAME_TO)):
        if found and found.value in (one - _OF_THE_OTHER if named else one) and written <= other:
            words = " and ".join(f"“{word}”" for word in found.words)
            outcome = note.fields.outcome[0]
            told = f"says {words} (outcome:{found.value}), and it is outcome:{outcome}"
            yield Remark((data.place(note),), told, f"outcome:{outcome}")
