"""What counts come to by chance: the same events, with their kinds dealt out anew."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from scipy import stats

from fightnotes.tally.events import Floats, Whole

SHUFFLES = 999
_SEED = 0
_FEW_REACH_IT = 10
"""Shuffles that reach the count, below which their share is too rough for a p value."""
_LEAST = 1e-6
"""By which a variance must be beyond that of independent acts, to be taken for more than it."""


@dataclass(frozen=True, eq=False)
class Chance:
    """What shuffles gave, one entry a chain in each."""

    mean: Floats
    variance: Floats
    reached: Floats
    """Of `SHUFFLES`, those that gave what was found or more."""

    def p_values(self, count: Floats, of: Floats) -> Floats:
        """The share of shuffles that reach the count, this order among them. Of few, what a binomial count of `of` with
        their mean makes of it, or a beta-binomial one where they vary by more: a share of shuffles never goes below one
        in their number, which adjusting for many pairs would wear out."""
        share = (1 + self.reached) / (1 + SHUFFLES)
        chance = np.clip(np.maximum(self.mean, 1 / SHUFFLES) / of, 0, 1 - 1 / SHUFFLES)
        times = self.variance / (of * chance * (1 - chance))
        alike = np.maximum((of - times), _LEAST) / np.maximum(times - 1, _LEAST)
        mixed = stats.betabinom.sf(count - 1, of, alike * chance, alike * (1 - chance))
        tail = np.where(times > 1 + _LEAST, mixed, stats.binom.sf(count - 1, of, chance))
        few = (self.reached < _FEW_REACH_IT) & (tail < share)
        return np.asarray(np.where(few, tail, share), dtype=np.float64)


def by_chance(counted: Callable[[Whole], Floats], count: Floats, among: Whole) -> Chance:
    """`counted` takes which event's kinds each event gets."""
    rng = np.random.default_rng(_SEED)
    total, squares, reached = (np.zeros_like(count) for _ in range(3))
    order, slots = np.zeros_like(among), np.argsort(among, kind="stable")
    for _ in range(SHUFFLES):
        order[slots] = np.argsort(among + rng.random(len(among)))
        found = counted(order)
        total += found
        squares += found**2
        reached += found >= count
    mean = total / SHUFFLES
    return Chance(mean, squares / SHUFFLES - mean**2, reached)
