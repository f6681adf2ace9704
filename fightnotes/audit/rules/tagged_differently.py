"""Notes that say the same and are tagged differently."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from fightnotes.audit.material import Material, concepts_of, show_tags
from fightnotes.audit.rules.rule import Remark
from fightnotes.model import Segment

_SAME = 0.9
"""Cosine from which two notes say the same (set by hand on the demo)."""
_BLOCK = 1024


def tagged_differently(material: Material) -> Iterator[Remark]:
    assert material.meaning is not None
    notes = [note for note in material.understood if concepts_of(note)]
    vectors = material.meaning.of(notes)
    for begin in range(0, len(notes), _BLOCK):
        cosines = vectors[begin : begin + _BLOCK] @ vectors.T
        for row, column in np.argwhere(cosines >= _SAME):
            one, other = notes[begin + row], notes[column]
            if begin + row < column and _disagree(material, one, other):
                near = float(cosines[row, column])
                yield Remark(
                    (material.place(other), material.place(one)),
                    f"says the same as {one.file}:{one.line} (nearness {near:.2f}): "
                    f"{show_tags(other)} here, {show_tags(one)} there",
                    show_tags(one),
                )


def _disagree(material: Material, one: Segment, other: Segment) -> bool:
    """No tag of one is, or is above or below, a tag of the other."""
    return not any(material.family(name) & set(concepts_of(other)) for name in concepts_of(one))
