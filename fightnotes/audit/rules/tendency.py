"""A concept whose notes mean other things early than late, or from one analyst than from another.

A permutation test on the distance of the two groups' means. Whole bouts change sides, not notes, since
notes of one bout speak of the same people. All concepts tested share one level (Bonferroni).
"""

from __future__ import annotations

import datetime
from collections import defaultdict
from collections.abc import Callable, Iterator, Mapping, Sequence
from itertools import combinations

import numpy as np

from fightnotes.audit.data import AuditData
from fightnotes.audit.rules.rule import Remark, TooLittle, too_few
from fightnotes.index.encoder import Vectors
from fightnotes.model import Concept, Segment

_LEVEL = 0.05
_APART = 0.4
"""Distance of the two means, of vectors of length 1, from which a difference is worth a word (set by hand)."""
_DRAWS = 4999
_FEWEST_NOTES = 6
"""On each side."""
_FEWEST_BOUTS = 4
"""On each side; with fewer, no arrangement of bouts can be rare enough."""
_SHOWN = 2


def drift(data: AuditData) -> Iterator[Remark | TooLittle]:
    vectors = data.centred
    dates = {bout.id: bout.date for bout in data.reading.bouts if bout.date}
    yield from too_few(len(data.bouts) - len(dates), len(data.bouts), "bouts have no date")

    def halves(notes: Sequence[Segment]) -> Iterator[tuple[list[Segment], list[Segment], str]]:
        dated = [note for note in notes if note.bout in dates]
        days = sorted(dates[note.bout] for note in dated)
        if days and days[0] < days[-1]:
            middle = _middle(days)
            early = [note for note in dated if dates[note.bout] < middle]
            late = [note for note in dated if dates[note.bout] >= middle]
            yield early, late, f"means other things from {middle} on than before"

    yield from _differing(data, vectors, halves)


def between_analysts(data: AuditData) -> Iterator[Remark | TooLittle]:
    analysts = {note.analyst for note in data.understood if note.analyst}
    if len(analysts) < 2:
        yield TooLittle("one analyst alone" if analysts else "no analyst is named")
        return
    vectors = data.centred

    def sides(notes: Sequence[Segment]) -> Iterator[tuple[list[Segment], list[Segment], str]]:
        for one, other in combinations(sorted({note.analyst for note in notes if note.analyst}), 2):
            by_one, by_other = ([note for note in notes if note.analyst == who] for who in (one, other))
            yield by_one, by_other, f"means other things with {one} than with {other}"

    yield from _differing(data, vectors, sides)


def _middle(days: Sequence[datetime.date]) -> datetime.date:
    """The day that parts the uses as evenly as whole days can; never the first."""
    middle = days[len(days) // 2]
    return middle if middle > days[0] else next(day for day in days if day > days[0])


_Sides = Callable[[Sequence[Segment]], Iterator[tuple[list[Segment], list[Segment], str]]]


def _differing(
    data: AuditData, vectors: Mapping[tuple[str, int], Vectors], sides: _Sides
) -> Iterator[Remark | TooLittle]:
    tests: list[tuple[Concept, list[Segment], list[Segment], str]] = []
    few = 0
    for name, notes in data.tagged_with.items():
        known = [note for note in notes if (note.file, note.line) in vectors]
        enough = [two for two in sides(known) if _are_enough(two[0]) and _are_enough(two[1])]
        tests.extend((data.vocabulary.by_id[name], *two) for two in enough)
        few += not enough
    sparse = f"tagged concepts have no two sides of {_FEWEST_NOTES} notes in {_FEWEST_BOUTS} bouts each"
    yield from too_few(few, len(data.tagged_with), sparse)
    for concept, one, other, said in tests:
        rows = np.stack([vectors[note.file, note.line] for note in (*one, *other)])
        apart = np.linalg.norm(rows[: len(one)].mean(axis=0) - rows[len(one) :].mean(axis=0))
        if apart >= _APART and _chance(rows, one, other) * len(tests) <= _LEVEL:
            shown = (*typical(one, rows[: len(one)]), *typical(other, rows[len(one) :]))
            places = (data.place_of_concept(concept), *map(data.place, shown))
            about = f"{concept.id} {said}"
            yield Remark(places, f"{about} ({len(one)} and {len(other)} notes)", about)


def _are_enough(notes: Sequence[Segment]) -> bool:
    return len(notes) >= _FEWEST_NOTES and len({note.bout for note in notes}) >= _FEWEST_BOUTS


def _chance(rows: Vectors, one: Sequence[Segment], other: Sequence[Segment]) -> float:
    """How often bouts dealt out at random to two sides lie as far apart as the two do."""
    units: dict[tuple[str, bool], list[int]] = defaultdict(list)
    for index, note in enumerate((*one, *other)):
        units[note.bout, index < len(one)].append(index)
    sums = np.stack([rows[indices].sum(axis=0) for indices in units.values()])
    counts = np.array([len(indices) for indices in units.values()])
    actual = np.array([first for _, first in units])
    draws = np.random.default_rng(0)
    shuffled = np.stack([actual, *(draws.permutation(actual) for _ in range(_DRAWS))])
    inside = shuffled @ counts
    total, rest = sums.sum(axis=0), counts.sum() - inside
    first = shuffled.astype(rows.dtype) @ sums
    apart = np.linalg.norm(first / inside[:, None] - (total - first) / rest[:, None], axis=1)
    # a side of few notes lies far out by chance: distances are weighed by the sizes
    weighed = apart * np.sqrt(inside * rest / counts.sum())
    return float(np.mean(weighed >= weighed[0] - 1e-9))


def typical(notes: Sequence[Segment], rows: Vectors) -> list[Segment]:
    """The notes nearest to the mean of all; `rows` are their vectors."""
    nearness = rows @ rows.mean(axis=0)
    return [notes[index] for index in np.argsort(-nearness)[:_SHOWN]]
