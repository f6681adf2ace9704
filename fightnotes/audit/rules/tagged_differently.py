"""Notes that say the same and are tagged differently."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from fightnotes.audit.data import AuditData, concepts_of, show_tags
from fightnotes.audit.rules.rule import Remark
from fightnotes.model import Segment

_SAME = 0.9
"""Cosine from which two notes say the same (set by hand on the demo)."""
_BLOCK = 1024


def tagged_differently(data: AuditData) -> Iterator[Remark]:
    assert data.meaning is not None
    notes = [note for note in data.understood if concepts_of(note)]
    vectors = data.meaning.of(notes)
    for begin in range(0, len(notes), _BLOCK):
        cosines = vectors[begin : begin + _BLOCK] @ vectors.T
        for row, column in np.argwhere(cosines >= _SAME):
            one, other = notes[begin + row], notes[column]
            if begin + row < column and _disagree(data, one, other):
                tags = f"{show_tags(other)} here, {show_tags(one)} there"
                said = f"says the same as {one.place} (nearness {float(cosines[row, column]):.2f}): {tags}"
                yield Remark((data.place(other), data.place(one)), said, show_tags(one))


def _disagree(data: AuditData, one: Segment, other: Segment) -> bool:
    """No tag of one is, or is above or below, a tag of the other."""
    return not any(data.family(name) & set(concepts_of(other)) for name in concepts_of(one))
