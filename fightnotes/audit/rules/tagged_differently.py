"""Notes that say the same and are tagged differently."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from fightnotes.audit.data import AuditData, concepts_of, show_tags
from fightnotes.audit.near_rows import near_above
from fightnotes.audit.rules.rule import Remark
from fightnotes.model import Segment

_SAME = 0.9
"""Cosine from which two notes say the same (set by hand on the demo)."""


def tagged_differently(data: AuditData) -> Iterator[Remark]:
    """Each note once, beside the nearest of those above it that says the same under other tags."""
    assert data.meaning is not None
    notes = [note for note in data.understood if concepts_of(note)]
    vectors = data.meaning.of(notes)
    sets = list(dict.fromkeys(map(concepts_of, notes)))
    number = {tags: index for index, tags in enumerate(sets)}
    numbers = np.array([number[concepts_of(note)] for note in notes], dtype=np.int64)
    families = [frozenset().union(*map(data.family, tags)) for tags in sets]
    for near in near_above(vectors, _SAME):
        family = families[numbers[near.row]]
        apart = [family.isdisjoint(sets[number]) for number in numbers[near.others]]
        if any(apart):
            nearest = np.where(apart, near.cosines, -1).argmax()
            yield _remark(data, notes[near.row], notes[near.others[nearest]], float(near.cosines[nearest]))


def _remark(data: AuditData, note: Segment, other: Segment, nearness: float) -> Remark:
    tags = f"{show_tags(note)} here, {show_tags(other)} there"
    said = f"says the same as {other.place} (nearness {nearness:.2f}): {tags}"
    return Remark((data.place(note), data.place(other)), said, show_tags(other))
