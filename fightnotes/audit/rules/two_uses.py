"""A concept whose notes fall into two groups of meaning."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import numpy.typing as npt
from threadpoolctl import threadpool_limits

from fightnotes.audit.data import AuditData
from fightnotes.audit.rules.rule import Remark, TooLittle, too_few
from fightnotes.audit.rules.tendency import typical
from fightnotes.index.encoder import Vectors
from fightnotes.model import Segment

Numbers = npt.NDArray[np.int32]
_ENOUGH = 12
_SMALLEST = 5
_MOST = 500
"""Of more notes a fixed sample tells as well, and each is held against each other one."""
_APART = 0.11
"""Mean silhouette (Rousseeuw 1987) of the two groups, set by hand: the demo's concepts lie at 0.03 to 0.10."""


def two_uses(data: AuditData) -> Iterator[Remark | TooLittle]:
    import sklearn.cluster  # noqa: F401  the limit below holds for what is loaded

    with threadpool_limits(1):
        yield from _judged(data)


def _judged(data: AuditData) -> Iterator[Remark | TooLittle]:
    vectors = data.centred
    few = 0
    for name, notes in data.tagged_with.items():
        known = [note for note in notes if (note.file, note.line) in vectors]
        if len(known) < _ENOUGH:
            few += 1
            continue
        known = _sample(known)
        rows = np.stack([vectors[note.file, note.line] for note in known])
        if len(np.unique(rows, axis=0)) < _ENOUGH:
            continue
        groups = _two_groups(rows)
        if groups is None:
            continue
        sides = [[note for note, side in zip(known, groups, strict=True) if side == group] for group in (0, 1)]
        one, other = (typical(notes, rows[groups == group]) for group, notes in enumerate(sides))
        sizes = np.bincount(groups)
        uses = f"{sizes[0]} notes such as {_where(one)}, {sizes[1]} such as {_where(other)}"
        places = (data.place_of_concept(data.vocabulary.by_id[name]), *map(data.place, (*one, *other)))
        yield Remark(places, f"{name} seems to be used for two things: {uses}", name)
    yield from too_few(few, len(data.tagged_with), f"tagged concepts are on fewer than {_ENOUGH} notes")


def _two_groups(rows: Vectors) -> Numbers | None:
    """0 or 1 for each row; None where they lie too near, or one is too small."""
    from sklearn.cluster import KMeans
    from sklearn.metrics import silhouette_score

    groups: Numbers = KMeans(2, n_init=10, random_state=0).fit_predict(rows)
    apart = np.bincount(groups).min() >= _SMALLEST and silhouette_score(rows, groups) >= _APART
    return groups if apart else None


def _sample(notes: list[Segment]) -> list[Segment]:
    if len(notes) <= _MOST:
        return notes
    return [notes[index] for index in np.random.default_rng(0).choice(len(notes), _MOST, replace=False)]


def _where(notes: list[Segment]) -> str:
    return " and ".join(note.place for note in notes)
