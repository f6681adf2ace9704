"""Concepts that make sense in one pairing of stances alone, tagged in the other.

That the outside foot, for one, is fought over in open stances is common practice; no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from fightnotes.audit.data import AuditData
from fightnotes.audit.rules.rule import Remark, TooLittle, too_few


def pairing(data: AuditData) -> Iterator[Remark | TooLittle]:
    for note in data.notes:
        for tag in note.tags:
            concept = data.vocabulary.by_id.get(tag.name)
            if concept is None or concept.pairing is None or note.pairing == "unknown":
                continue
            if concept.pairing != note.pairing:
                held = ", ".join(f"{fighter} {stance}" for fighter, stance in note.stances.items())
                these = f"these are {note.pairing} ({held}): check the stances"
                said = f"#{tag.name} belongs to {concept.pairing} stances, and {these}"
                yield Remark((data.place(note, tag),), said, f"#{tag.name}")
    yield from too_few(*data.without_stances, "timed notes are of fighters whose stances nobody gave")
