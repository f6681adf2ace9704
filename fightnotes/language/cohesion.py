"""How far the words of a talk shift from what was said before a place to what is said behind it.

After TextTiling (Hearst 1997): the words of a block before each gap are held against those of a block behind it, by the
cosine of their counts; a gap's depth is how far the likeness falls there from the nearest peaks on both sides. Here
the gaps are those between sentences, and a block is a number of words.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence

BLOCK = 40
"""Words of a block: about what is said of one exchange (tried on the demo among 20, 30, 40 and 60)."""


def depths(sentences: Sequence[Sequence[str]]) -> list[float]:
    """The depth, from 0 to 2, of each gap between two sentences, which are given by what their words stand for."""
    return depths_of([_likeness(sentences, gap) for gap in range(1, len(sentences))])


def depths_of(likeness: Sequence[float]) -> list[float]:
    """How far each likeness lies below the peaks on its two sides, summed."""
    left, right = _climbs(likeness), _climbs(likeness[::-1])[::-1]
    return [a + b for a, b in zip(left, right, strict=True)]


def _likeness(sentences: Sequence[Sequence[str]], gap: int) -> float:
    """Cosine of the blocks that end and begin between `sentences[gap - 1]` and `sentences[gap]`."""
    before, behind = _block(sentences, range(gap - 1, -1, -1)), _block(sentences, range(gap, len(sentences)))
    shared = sum(count * behind[stem] for stem, count in before.items())
    length = math.sqrt(sum(c * c for c in before.values()) * sum(c * c for c in behind.values()))
    return shared / length if length else 0.0


def _block(sentences: Sequence[Sequence[str]], order: range) -> Counter[str]:
    counts: Counter[str] = Counter()
    left = BLOCK
    for number in order:
        taken = sentences[number][-left:] if order.step < 0 else sentences[number][:left]
        counts.update(taken)
        left -= max(1, len(taken))
        if left <= 0:
            break
    return counts


def _climbs(values: Sequence[float]) -> list[float]:
    """By how much one climbs from each value to the peak on its left, going on as long as the values rise."""
    climbs: list[float] = []
    for number, value in enumerate(values):
        peak = values[number - 1] + climbs[-1] if number and values[number - 1] >= value else value
        climbs.append(peak - value)
    return climbs
