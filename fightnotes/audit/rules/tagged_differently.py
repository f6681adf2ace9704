"""Notes that say the same and are tagged differently."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence

import numpy as np
import numpy.typing as npt

from fightnotes.audit.data import AuditData, concepts_of, show_tags
from fightnotes.audit.near_rows import Flags, Numbers, nearest_above
from fightnotes.audit.rules.rule import Remark
from fightnotes.model import Segment

_SAME = 0.9
"""Cosine from which two notes say the same (set by hand on the demo)."""
_WORD = 64
"""Bits that are held against others at once."""
Bits = npt.NDArray[np.uint64]


def tagged_differently(data: AuditData) -> Iterator[Remark]:
    """Each note once, beside the nearest of those above it that says the same under other tags."""
    assert data.meaning is not None
    notes = [note for note in data.understood if concepts_of(note)]
    if not notes:
        return
    sets = list(dict.fromkeys(map(concepts_of, notes)))
    number = {tags: index for index, tags in enumerate(sets)}
    numbers = np.array([number[concepts_of(note)] for note in notes], dtype=np.int64)
    families = [frozenset().union(*map(data.family, tags)) for tags in sets]
    bit = {name: index for index, name in enumerate(sorted(frozenset().union(*families)))}
    tagged, related = _bits(sets, bit)[numbers], _bits(families, bit)[numbers]

    def are_apart(rows: Numbers, others: Numbers) -> Flags:
        apart: Flags = np.logical_not((related[rows] & tagged[others]).any(axis=1))
        return apart

    nearest = nearest_above(data.meaning.of(notes), _SAME, are_apart)
    for row in np.flatnonzero(nearest.others >= 0).tolist():
        yield _remark(data, notes[row], notes[nearest.others[row]], float(nearest.cosines[row]))


def _bits(sets: Sequence[Iterable[str]], bit: Mapping[str, int]) -> Bits:
    """A row a set, with a bit for each of its concepts."""
    flags = np.zeros((len(sets), math.ceil(len(bit) / _WORD) * _WORD), dtype=np.bool_)
    for row, names in enumerate(sets):
        flags[row, [bit[name] for name in names]] = True
    return np.packbits(flags, axis=1).view(np.uint64)


def _remark(data: AuditData, note: Segment, other: Segment, nearness: float) -> Remark:
    tags = f"{show_tags(note)} here, {show_tags(other)} there"
    said = f"says the same as {other.place} (nearness {nearness:.2f}): {tags}"
    return Remark((data.place(note), data.place(other)), said, show_tags(other))
