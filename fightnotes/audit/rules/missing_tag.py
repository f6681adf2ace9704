"""Notes that lack a tag, by what `suggest` knows of them: the label that they say, and notes like them.

What a label says counts from a lower probability than what no label says, which must be nearly sure. That whoever
tagged a note has looked at it is in the probability. The numbers are set by hand on the demo.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from fightnotes.audit.data import AuditData, concepts_of
from fightnotes.audit.rules.rule import Remark, TooLittle
from fightnotes.language.words import content_stems
from fightnotes.suggesting.learn import FEWEST_TAGGED
from fightnotes.suggesting.material import material_of
from fightnotes.suggesting.rejected import is_rejected
from fightnotes.suggesting.suggest import TagSuggestion, suggest_for

_SAID = 0.95
_UNSAID = 0.99


def missing_tag(data: AuditData) -> Iterator[Remark | TooLittle]:
    """Of each note the most probable tag that it lacks."""
    told: set[tuple[str, int]] = set()
    for found in _suggested(data):
        note = found.segment
        place = note.file, note.line
        if place not in told and found.probability >= _enough(found) and not _stands_for(data, found):
            told.add(place)
            alike = () if found.why.labels else map(data.place, (one.segment for one in found.why.similar))
            yield Remark((data.place(note), *alike), _message(found), found.concept)
    tagged = sum(1 for note in data.notes if note.tags)
    if tagged < FEWEST_TAGGED:
        yield TooLittle(f"{tagged} notes are tagged: below {FEWEST_TAGGED} it judges by labels and definitions mostly")


def _enough(found: TagSuggestion) -> float:
    return _SAID if found.why.labels else _UNSAID


def _message(found: TagSuggestion) -> str:
    chance = f"#{found.concept} (probability {found.probability:.2f})"
    if found.why.labels:
        return f"says {' and '.join(f'“{words}”' for words in found.why.labels)} and lacks {chance}"
    return f"reads as notes with {chance} do, and lacks it"


def _suggested(data: AuditData) -> list[TagSuggestion]:
    """What `suggest` would say of the library as its files are now, and nobody has refused; the likeliest first."""
    assert data.meaning is not None
    segments = data.understood_segments
    concepts = data.meaning.of_concepts(data.vocabulary.concepts)
    if not concepts:
        return []
    vectors = np.stack(list(concepts.values()))
    material = material_of(segments, data.meaning.of(segments), data.vocabulary, list(concepts), vectors)
    rows = np.array([row for row, one in enumerate(segments) if one.kind == "note" and one.timed], dtype=np.int64)
    found = suggest_for(material, rows, data.bouts, _SAID, unsaid=_UNSAID)
    return [one for one in found if not is_rejected(one.segment, one.concept, data.rejected, segments)]


def _stands_for(data: AuditData, found: TagSuggestion) -> bool:
    """Whether a tag of the note has the concept's words in its own, as slip counter has slip."""
    words = set(content_stems(found.label))
    by_id = data.vocabulary.by_id
    return any(words <= set(content_stems(by_id[name].label)) for name in concepts_of(found.segment))
