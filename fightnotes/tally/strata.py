"""Cells in strata, and by how much more than chance alone they vary.

A cell is a level and what one bout has there. Three things make what is counted vary by more than chance alone, and
each would pass for a trend:

- *Bouts differ.* Where a bout spans several levels, as it does rounds, it is a stratum, and only what changes within it
  counts. Else the last rounds are those of the bouts that lasted, which may have been slower from the start.
- *Rounds of one bout differ.* The variance is that of the cells about the fit, never less than chance alone gives
  (quasi-likelihood: R. Wedderburn, Biometrika 61 (1974), 439-447), and tests go by Student's t.
- *Bouts change by different amounts, and long ones vary by more.* The change is also tested by what whole bouts add to
  it, each with its pull on the fit allowed for (HC3 of J. MacKinnon, H. White, Journal of Econometrics 29 (1985),
  305-325), and the wider interval and the greater p value hold. It takes `FEWEST_BOUTS` strata: with fewer the answer
  is about these bouts alone.

Shuffling was the alternative. It needs no variance, but rounds of which less was noted cannot be exchanged with others,
one bout of three rounds has six orders, and an interval would take a second method beside it.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy import stats

from fightnotes.tally.estimate import OUTSIDE

Floats = NDArray[np.float64]

FEWEST_BOUTS = 8
"""Strata below which they are not held against each other: the variance of fewer is too unsure."""
_FREE = 1e-9
"""The least part of a bout's place that the others must decide, for its distance from it to say anything."""


@dataclass(frozen=True, eq=False)
class Strata:
    of: NDArray[np.intp]
    """(cells,): the stratum of each, from 0 without gaps."""
    cells: Floats
    """(strata,): how many each has."""
    several: NDArray[np.bool_]
    """(strata,): whether its cells are at several levels, without which it tells nothing of a change."""

    def sums(self, values: Floats) -> Floats:
        """(cells,) -> (strata,)."""
        return np.bincount(self.of, weights=values, minlength=len(self.cells)).astype(np.float64, copy=False)


def strata_of(names: ArrayLike | None, levels: Floats) -> Strata:
    """By the level and the name of the stratum of each cell; without names all are in one."""
    of = np.zeros(len(levels), dtype=np.intp)
    if names is not None:
        of = np.unique(np.asarray(names), return_inverse=True)[1].reshape(-1).astype(np.intp)
    cells = np.bincount(of).astype(np.float64)
    lowest, highest = np.full(len(cells), np.inf), np.full(len(cells), -np.inf)
    np.minimum.at(lowest, of, levels)
    np.maximum.at(highest, of, levels)
    return Strata(of, cells, highest > lowest)


def between_0_and_1(levels: Floats) -> Floats:
    """Levels moved and scaled so that the lowest is 0 and the highest 1."""
    lowest, highest = levels.min(), levels.max()
    return np.asarray((levels - lowest) / (highest - lowest), dtype=np.float64)


@dataclass(frozen=True, eq=False)
class Pulls:
    """What each bout adds to the score of the slope, and to the whole count, beyond what the others foretell."""

    slope: Floats
    whole: Floats
    freedom: int

    def reach(self, wholes: float, slopes: float) -> float:
        """How far a 95 % interval of the sum of so many times both reaches to each side."""
        spread = sqrt(float(((wholes * self.whole + slopes * self.slope) ** 2).sum()))
        return float(stats.t.isf(OUTSIDE, self.freedom)) * spread


def beyond(distances: Floats, leverages: Floats) -> Floats:
    """Distances from a fit that goes by the others alone, by the share of each in its own place."""
    left = 1 - leverages
    return np.divide(distances, left, out=np.zeros_like(distances), where=left > _FREE)


@dataclass(frozen=True)
class Spread:
    """How many times the variance that chance alone gives, and the degrees of freedom by which that is known."""

    ways: tuple[tuple[float, int], ...]
    """One for each way of telling it; the most careful holds."""

    def p_value(self, score: float) -> float:
        """Two-sided, of a statistic that would be standard normal by chance alone."""
        return max(float(2 * stats.t.sf(abs(score) / sqrt(times), freedom)) for times, freedom in self.ways)

    @property
    def reach(self) -> float:
        """How many standard errors of chance alone a 95 % interval reaches to each side."""
        return max(sqrt(times) * float(stats.t.isf(OUTSIDE, freedom)) for times, freedom in self.ways)


def spread_of(squares: float, freedom: int, pulls: Pulls | None, information: float) -> Spread:
    """From Pearson's sum of squares of cells about their fit with its degrees of freedom, and from the pulls of bouts
    on a slope whose score varies by `information` by chance alone."""
    ways = [(max(1.0, squares / freedom), freedom)]
    if pulls is not None:
        ways.append((max(1.0, float((pulls.slope**2).sum()) / information), pulls.freedom))
    return Spread(tuple(ways))
