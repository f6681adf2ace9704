"""Which segment has which tags, as arrays."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from fightnotes.index.placed_vectors import stretches
from fightnotes.index.vector_file import Ids


@dataclass(frozen=True)
class TagTable:
    """A row for each tag of each segment, ordered by segment."""

    names: Mapping[str, int]
    """The code of each tag."""
    segments: Ids
    codes: Ids

    def of(self, ids: Ids) -> tuple[Ids, Ids]:
        """The tags of some segments, ids ascending: which of `ids`, ascending, has which code."""
        first, stop = (np.searchsorted(self.segments, ids, side) for side in ("left", "right"))
        rows, tags = stretches(first, stop)
        return rows, self.codes[tags]


def tag_table(tagged: Mapping[str, Ids]) -> TagTable:
    """From the ids of the segments that have each tag."""
    names = {name: code for code, name in enumerate(tagged)}
    counts = [len(ids) for ids in tagged.values()]
    segments = np.concatenate([*tagged.values(), np.empty(0, dtype=np.int64)])
    order = np.argsort(segments, kind="stable")
    return TagTable(names, segments[order], np.repeat(np.arange(len(counts)), counts)[order])
