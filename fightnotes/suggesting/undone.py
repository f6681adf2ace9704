"""Which concepts a text speaks of only as not done, or only as meant or expected."""

from __future__ import annotations

import numpy as np

from fightnotes.suggesting.material import Flags, Material, Numbers


def only_undone(material: Material, rows: Numbers) -> Flags:
    """True where a concept is not to be suggested for that reason, shape (len(rows), concepts).

    That is where a label stands under a negation or report and none beside it, where the words of the labels weigh
    more under it than beside it, and everywhere where nothing is said beside it.
    """
    concepts = material.concepts
    flags = np.zeros((len(rows), len(concepts.ids)), dtype=np.bool_)
    told = [place for place, row in enumerate(rows) if material.said[row].undone]
    if not told:
        return flags
    said = [material.said[rows[place]] for place in told]
    weight = material.space.weighted
    inside = (weight([one.undone for one in said]) @ concepts.labels.T).toarray()
    beside = (weight([one.done for one in said]) @ concepts.labels.T).toarray()
    flags[told] = inside > beside
    column = concepts.column
    for place, one in zip(told, said, strict=True):
        denied = {found.concept for found in one.labels if found.undone}
        done = {found.concept for found in one.labels if not found.undone}
        flags[place, [column[concept] for concept in denied - done]] = True
        flags[place, [column[concept] for concept in done]] = False
        if not one.done:
            flags[place] = True
    return flags
