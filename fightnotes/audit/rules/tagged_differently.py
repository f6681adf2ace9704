"""Notes that say the same and are tagged differently."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from fightnotes.audit.data import AuditData, concepts_of, show_tags
from fightnotes.audit.rules.rule import Remark
from fightnotes.model import Segment

_SAME = 0.9
"""Cosine from which two notes say the same (set by hand on the demo)."""
_BLOCK = 256


def tagged_differently(data: AuditData) -> Iterator[Remark]:
    """Each note once, beside the nearest of those above it that says the same under other tags."""
    assert data.meaning is not None
    notes = [note for note in data.understood if concepts_of(note)]
    vectors = data.meaning.of(notes)
    sets = list(dict.fromkeys(map(concepts_of, notes)))
    number = {tags: index for index, tags in enumerate(sets)}
    numbers = np.array([number[concepts_of(note)] for note in notes], dtype=np.int64)
    families = [frozenset().union(*map(data.family, tags)) for tags in sets]
    for begin in range(0, len(notes), _BLOCK):
        stop = min(begin + _BLOCK, len(notes))
        cosines = vectors[begin:stop] @ vectors[:stop].T
        for row in np.flatnonzero((cosines >= _SAME).sum(axis=1) > 1):
            note, family = notes[begin + row], families[numbers[begin + row]]
            near = np.flatnonzero(cosines[row, : begin + row] >= _SAME)
            apart = [one for one in np.unique(numbers[near]) if family.isdisjoint(sets[one])]
            near = near[np.isin(numbers[near], apart)]
            if len(near):
                nearest = near[cosines[row, near].argmax()]
                yield _remark(data, note, notes[nearest], float(cosines[row, nearest]))


def _remark(data: AuditData, note: Segment, other: Segment, nearness: float) -> Remark:
    tags = f"{show_tags(note)} here, {show_tags(other)} there"
    said = f"says the same as {other.place} (nearness {nearness:.2f}): {tags}"
    return Remark((data.place(note), data.place(other)), said, show_tags(other))
