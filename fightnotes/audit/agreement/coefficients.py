"""Coefficients of agreement, as functions of arrays.

Each takes whole numbers of observations and gives one value for each leading index, so that a
bootstrap computes all its resamples at once. A value that is undefined, because nothing varies, is
nan.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]


def cohen_kappa(tables: Floats) -> Floats:
    """Cohen's kappa of contingency tables (..., k, k), the first analyst's categories in rows -> (...).

    (observed - expected) / (1 - expected), the expected agreement from both analysts' own margins.
    J. Cohen, "A coefficient of agreement for nominal scales", Educational and Psychological
    Measurement 20 (1960), 37-46.
    """
    total = tables.sum(axis=(-2, -1))
    by_chance = (tables.sum(axis=-1) * tables.sum(axis=-2)).sum(axis=-1)
    return _ratio(total * np.trace(tables, axis1=-2, axis2=-1) - by_chance, total * total - by_chance)


@dataclass(frozen=True, eq=False)
class Units:
    """Units with at least two values each, reduced to what Krippendorff's alpha needs of them."""

    disagreement: Floats
    """(units,): sum of the distances between the values of different analysts, over values less one."""
    totals: Floats
    """(units, values): how often each value is given; zeros for a unit with fewer than two."""
    distance: Floats
    """(values, values): symmetric, zero on the diagonal."""


def units_of(counts: Floats, distance: Floats) -> Units:
    """Reduce `counts` (units, values), how many analysts gave each value to each unit.

    An analyst who gave a unit no value is not counted there; a unit with fewer than two values
    pairs nothing and has no effect.
    """
    given = counts.sum(axis=1)
    pairable = given > 1
    apart = ((counts @ distance) * counts).sum(axis=1)
    disagreement = np.divide(apart, given - 1, out=np.zeros_like(apart), where=pairable)
    return Units(disagreement, np.where(pairable[:, None], counts, 0.0), distance)


def krippendorff_alpha(units: Units, weights: Floats) -> Floats:
    """Krippendorff's alpha, 1 - observed / expected disagreement, of resamples -> (resamples,).

    `weights` (resamples, units) says how often each unit counts. K. Krippendorff, "Computing
    Krippendorff's alpha-reliability" (2011), in the form for any distance and missing values;
    `distance` stands for his squared difference function.
    """
    totals = weights @ units.totals
    observed = (weights @ units.disagreement) * (totals.sum(axis=1) - 1)
    expected = ((totals @ units.distance) * totals).sum(axis=1)
    return 1 - _ratio(observed, expected)


def nominal_distances(size: int) -> Floats:
    """(size, size): 0 for the same value, else 1."""
    return 1 - np.eye(size)


def presence_distances(sets: Bools) -> Floats:
    """(n, n): how many members are in one of two sets and not in the other; `sets` is (n, members).

    With it, alpha's disagreements are the sums over members of those of nominal alpha on present and
    absent, each against its own chance. Were all members thrown into one pool of presents and
    absents, rarity alone would pass for agreement.
    """
    members = sets.astype(np.float64)
    alone: Floats = members @ (1 - members).T
    return alone + alone.T


def masi_distances(sets: Bools) -> Floats:
    """(n, n): MASI distance between sets, 0 to 1; `sets` is (n, members).

    1 - Jaccard index * monotonicity, which is 1 for equal sets, 2/3 where one holds the other, 1/3
    where they overlap otherwise and 0 where they have nothing in common. R. Passonneau, "Measuring
    agreement on set-valued items (MASI) for semantic and pragmatic annotation", LREC 2006. Two empty
    sets, which the paper has no use for, are equal.
    """
    members = sets.astype(np.float64)
    common = members @ members.T
    sizes = members.sum(axis=1)
    joint = sizes[:, None] + sizes[None, :] - common
    smaller = np.minimum(sizes[:, None], sizes[None, :])
    monotonicity = np.select([common == joint, common == 0, common == smaller], [1.0, 0.0, 2 / 3], 1 / 3)
    jaccard = np.divide(common, joint, out=np.ones_like(common), where=joint > 0)
    return np.asarray(1 - jaccard * monotonicity, dtype=np.float64)


def _ratio(numerator: Floats, denominator: Floats) -> Floats:
    found = np.full(np.shape(denominator), np.nan)
    np.divide(numerator, denominator, out=found, where=denominator > 0)
    return found
