"""Concepts that mean the same, by their definitions and by the notes that they are on."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

import numpy as np

from fightnotes.audit.data import AuditData
from fightnotes.audit.rules.rule import Remark, TooLittle, too_few
from fightnotes.index.encoder import Vectors

_DEFINED_ALIKE = 0.92
"""Cosine of label and definition (set by hand on the demo)."""
_USED_ALIKE = 0.9
"""Cosine of the mean of their notes, the mean of all notes taken out."""
_ENOUGH = 6
"""Notes that a mean rests on."""


def concepts_alike(data: AuditData) -> Iterator[Remark | TooLittle]:
    assert data.meaning is not None
    means = _means(data)
    defined = data.meaning.of_concepts(data.vocabulary.concepts)
    for one, other in combinations(data.vocabulary.concepts, 2):
        if other.id in data.family(one.id):
            continue
        reasons = []
        here, there = defined.get(one.id), defined.get(other.id)
        if here is not None and there is not None and float(here @ there) >= _DEFINED_ALIKE:
            reasons.append(f"their definitions say nearly the same (nearness {float(here @ there):.2f})")
        if one.id in means and other.id in means and float(means[one.id] @ means[other.id]) >= _USED_ALIKE:
            reasons.append(f"their notes say the same ({float(means[one.id] @ means[other.id]):.2f})")
        if reasons:
            said = f"{other.id} and {one.id}: {' and '.join(reasons)}: one concept or two?"
            yield Remark((data.place_of_concept(other), data.place_of_concept(one)), said, f"{one.id} {other.id}")
    few = len(data.vocabulary.concepts) - len(means)
    alone = f"concepts are the only tag of fewer than {_ENOUGH} notes: the definitions alone"
    yield from too_few(few, len(data.vocabulary.concepts), alone)


def _means(data: AuditData) -> dict[str, Vectors]:
    """Of the notes that carry each concept alone, so that what two concepts share a note for does not count."""
    assert data.meaning is not None
    if not data.understood:
        return {}
    centre = data.meaning.of(data.understood).mean(axis=0)
    means = {}
    for name, notes in data.tagged_with.items():
        alone = [note for note in notes if len(note.tags) == 1 and note.text and data.meaning.knows(note)]
        if len(alone) >= _ENOUGH:
            mean = data.meaning.of(alone).mean(axis=0) - centre
            means[name] = mean / np.linalg.norm(mean)
    return means
