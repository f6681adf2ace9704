"""Notes of one analyst, a few seconds apart, that tell of one moment twice in other words.

The limits were set on every other bout of the demo, where nothing that follows within 8 s comes nearer than 0.53.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from fractions import Fraction

from fightnotes.audit.data import AuditData, concepts_of
from fightnotes.audit.rules.notes import noted_at, repeats
from fightnotes.audit.rules.rule import Remark
from fightnotes.language.words import content_stems
from fightnotes.model import Segment

_SECONDS = Fraction(8)
_ALIKE = 0.6
"""Cosine."""
_WORDS = 5
"""Content words that each must have: shorter notes follow one another in the same words."""


def written_again(data: AuditData) -> Iterator[Remark]:
    """Of two such notes, the later in time with the nearest of those before it."""
    assert data.meaning is not None
    groups: dict[tuple[str, str | None, str | int | None], list[tuple[Fraction, Segment]]] = defaultdict(list)
    for note in data.understood:
        at = noted_at(note)
        if at is not None:
            groups[note.bout, note.analyst, note.timed_on if note.start is not None else note.round].append((at, note))
    for timed in groups.values():
        timed.sort(key=lambda one: (one[0], one[1].file, one[1].line))
        vectors = data.meaning.of(note for _, note in timed)
        first = 0
        for index, (at, note) in enumerate(timed):
            while at - timed[first][0] > _SECONDS:
                first += 1
            near = [(float(vectors[index] @ vectors[row]), timed[row][1]) for row in range(first, index)]
            near = [(alike, one) for alike, one in near if alike >= _ALIKE and _may_be_one(data, note, one)]
            if near:
                alike, other = max(near, key=lambda one: one[0])
                told = f"seems to tell the moment of {other.place} again (nearness {alike:.2f})"
                yield Remark((data.place(note), data.place(other)), told, note.written_time or "")


def _may_be_one(data: AuditData, note: Segment, other: Segment) -> bool:
    """Whether both say enough, they name no other fighter, outcome or technique, and are not told as the same words
    written twice."""
    if min(len(content_stems(one.text)) for one in (note, other)) < _WORDS:
        return False
    for field in ("by", "outcome"):
        one, two = set(note.all_of(field)), set(other.all_of(field))
        if one and two and not one & two:
            return False
    tags, others = concepts_of(note), concepts_of(other)
    families = {relative for tag in tags for relative in data.family(tag)}
    return not (tags and others and families.isdisjoint(others)) and not repeats(note, other)
