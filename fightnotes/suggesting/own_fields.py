"""Fields that a new tag needs of its own, where those of the note would hold for it wrongly.

"#jab by:corvale outcome:landed ... and Brandaal's hook misses": a bare #hook would be Corvale's and landed, so that it
is written `#hook(by:brandaal outcome:missed)`.
"""

from __future__ import annotations

from collections.abc import Sequence

from fightnotes.language.attribution import SaidAct
from fightnotes.language.fields_said import fields_of
from fightnotes.language.labels import Mention, find_labels
from fightnotes.language.note_reader import NoteReader
from fightnotes.language.results import CAME_TO_NOTHING
from fightnotes.language.trust import NOTES
from fightnotes.model import Fields, Segment

_SURE = 0.7
"""Least probability of what is written so."""
_DENIED = "failed"
"""How a thing came out that the text says was not done."""


def own_fields(segment: Segment, concept: str, reader: NoteReader, shared: Fields | None = None) -> Fields:
    """None where the note's fields hold for the tag; `shared` are these where they are not those of the segment."""
    given = segment.fields if shared is None else shared
    said = [one for one in find_labels(segment.text, reader.labels) if one.concept == concept]
    done = [one for one in said if not any(span.rules_out for span in one.undone)]
    if segment.kind != "note" or given == Fields() or not said or len(done) > 1:
        return Fields()
    acts = _exchange(reader.acts(segment), (done or said)[0])
    found: dict[str, tuple[str, ...]] = {
        one.key: (one.value,)
        for one in fields_of(segment.text, acts, reader.people(segment))
        if one.key in ("target", "outcome") and one.probability >= _SURE
    }
    if not done:
        found["outcome"] = given.outcome if CAME_TO_NOTHING & set(given.outcome) else (_DENIED,)
    actors = {act.by.fighter for act in acts if act.by and NOTES.of(act.by) >= _SURE}
    if given.by and len(actors) == 1 and not actors <= set(given.by):
        return Fields(by=tuple(actors), **found)
    return Fields(
        **{key: value for key, value in found.items() if getattr(given, key) and not _holds(given, key, value)}
    )


def _exchange(acts: Sequence[SaidAct], mention: Mention) -> Sequence[SaidAct]:
    """What the clause tells that names the concept, and those behind it that go on with it: "Her hook, blocked"."""
    found: list[SaidAct] = []
    for act in acts:
        if mention.begin in act.clause:
            found.append(act)
        elif found and (
            act.concepts
            or act.on
            or (act.by and act.by.way != "carried")
            or act.clause.sentence != found[0].clause.sentence
        ):
            break
        elif found:
            found.append(act)
    return found


def _holds(given: Fields, key: str, value: tuple[str, ...]) -> bool:
    return set(value) <= set(getattr(given, key))
