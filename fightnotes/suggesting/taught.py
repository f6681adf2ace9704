"""What the pairs of segment and concept are taught as: 1 where tagged; else unlabelled, and not 0.

Analysts leave tags out, by chance or by habit (the obvious jab). An untagged pair is as probable as labels and
definitions alone make it: after Elkan and Noto 2008, "Learning classifiers from only positive and unlabeled data", who
weigh each unlabelled example by a first model's probability.
"""

from __future__ import annotations

from collections.abc import Callable

from fightnotes.suggesting.evidence import text_evidence
from fightnotes.suggesting.examples import Matrix
from fightnotes.suggesting.material import Material, Numbers
from fightnotes.suggesting.model import Weights
from fightnotes.suggesting.undone import only_undone


def teacher(material: Material, first: Weights) -> Callable[[Numbers], Matrix]:
    """Of rows of the material, what each pair is taught as, shape (rows, concepts); `first` weighs texts alone."""

    def teach(rows: Numbers) -> Matrix:
        taught = first.probabilities(text_evidence(material, rows))
        taught[only_undone(material, rows)] = 0.0
        taught[material.covered[rows].toarray() > 0] = 0.0
        taught[material.tags[rows].toarray() > 0] = 1.0
        return taught

    return teach
