"""Of concepts of one family, which stands for a segment: a broader one or the one below it, one sibling or the other.

It is settled by the probabilities alone and not by the threshold, so that a lower threshold shows all that a higher one
shows, and a broader concept never beside one below it.
"""

from __future__ import annotations

import numpy as np

from fightnotes.suggesting.examples import Matrix
from fightnotes.suggesting.material import Flags, Material, Numbers
from fightnotes.suggesting.model import THRESHOLD


def outdone(material: Material, rows: Numbers, found: Matrix) -> Flags:
    """True where another of the family stands instead; `found` are the probabilities, shape (len(rows), concepts).

    A narrower concept stands where it is as probable as the broader one, or probable enough to be suggested. A sibling
    that is less probable than another stands only where the text says its label.
    """
    concepts = material.concepts
    lost = np.zeros(found.shape, dtype=np.bool_)
    unsaid = material.labels[rows].toarray() == 0
    for column, siblings in enumerate(concepts.siblings):
        if siblings:
            lost[:, column] = unsaid[:, column] & (found[:, siblings].max(axis=1) > found[:, column])
    standing = np.where(lost, 0, found)
    below = concepts.above.T.tocsr()
    for column in np.flatnonzero(np.diff(below.indptr)).tolist():
        narrower = below.indices[below.indptr[column] : below.indptr[column + 1]]
        enough = np.minimum(found[:, column], THRESHOLD)
        carried = standing[:, narrower].max(axis=1) >= enough
        lost[:, column] |= carried
        lost[np.ix_(~carried & ~lost[:, column], narrower)] = True
    return lost
