"""Agreement on where segments begin and end.

Boundary similarity: C. Fournier, "Evaluating text segmentation using boundary edit distance", ACL
2013. Chosen over WindowDiff (L. Pevzner, M. Hearst, 2002), which takes one side as the truth, needs a
window size, and counts errors near the edges less.
"""

from __future__ import annotations

from collections.abc import Iterable
from math import floor

from fightnotes.audit.agreement.alignment import Base, extents_of
from fightnotes.model import Segment


def boundaries_of(segments: Iterable[Segment]) -> dict[Base, set[int]]:
    """Whole seconds, by what they count on, in which a segment starts or, where that is written, ends."""
    found: dict[Base, set[int]] = {}
    for segment in segments:
        base, (start, end) = next(iter(extents_of(segment).items()))
        found.setdefault(base, set()).update((floor(start), floor(end)))
    return found


def boundary_scores(first: Iterable[int], second: Iterable[int], reach: int) -> list[float]:
    """One score for each boundary that both or one placed; their mean is the boundary similarity.

    1 for a boundary at the same position, 0 for one that the other lacks, and for two that lie `reach`
    positions apart or less, 1 - distance / (reach + 1). Near ones are paired the nearest first, then
    from the left, each once. `reach` is the paper's n_t less one, and there is one type of boundary.
    """
    left, right = set(first), set(second)
    scores = [1.0] * len(left & right)
    only_left, only_right = left - right, right - left
    near = sorted(
        (abs(shift), min(position, position + shift), position, position + shift)
        for position in only_left
        for shift in range(-reach, reach + 1)
        if position + shift in only_right
    )
    for distance, _, position, other in near:
        if position in only_left and other in only_right:
            only_left.remove(position)
            only_right.remove(other)
            scores.append(1 - distance / (reach + 1))
    return scores + [0.0] * (len(only_left) + len(only_right))
