"""A trend: whether something grows or falls over ordered levels, such as rounds or days, and how it is said."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from fightnotes.pages.numbers import number
from fightnotes.tally.estimate import Estimate
from fightnotes.tally.so_many import so_many

LEVEL = 0.05
"""P values below it are called clear."""
FEWEST_LEVELS = 3
"""Levels below which there is no trend to speak of, only a difference. Common practice, no source."""
FEWEST_EVENTS = 10
"""Events below which no trend of counts is given, and of shares the lesser of those that are it and those that are not.
Common practice, no source; false alarms above it are measured in `tests/bench/planted.py`."""
FEWEST_VALUES = 5
"""Values below which no order of them is rare enough to be called clear: 2 of the 24 orders of four are 8 %."""

Kind = Literal["rate", "share", "value"]


@dataclass(frozen=True)
class Trend:
    """From the lowest level to the highest. All but `kind` is None where `too_few` says why."""

    kind: Kind
    first: Estimate | None = None
    """What the fit has at the lowest level; of shares, 0 to 1."""
    last: Estimate | None = None
    effect: Estimate | None = None
    """Of rates the last over the first (`inf` where the first is 0); of shares and values the last less the first."""
    p_value: float | None = None
    too_few: str | None = None

    @property
    def direction(self) -> int:
        """1 where it grows, -1 where it falls, 0 where it does neither or too little is known."""
        if self.effect is None:
            return 0
        still = 1.0 if self.kind == "rate" else 0.0
        return (self.effect.value > still) - (self.effect.value < still)

    def is_clear(self, p_value: float | None = None) -> bool:
        """Whether chance alone would seldom do it; a `p_value` adjusted for many tests stands in for the trend's."""
        held = self.p_value if p_value is None else p_value
        return held is not None and held < LEVEL and self.direction != 0


def too_few_levels(levels: NDArray[np.float64]) -> str | None:
    """The reason, where there are."""
    different = len(np.unique(levels))
    return None if different >= FEWEST_LEVELS else f"{so_many(different, 'level')}, and {FEWEST_LEVELS} are needed"


def in_words(trend: Trend, unit: str = "", p_value: float | None = None) -> str:
    """Such as "from about 2 to about 6 a round", for `unit` "a round"; `p_value` as in `Trend.is_clear`."""
    if trend.too_few is not None or trend.first is None or trend.last is None:
        return "too few to say"
    if not trend.is_clear(p_value):
        return "no clear trend"
    shown = _percent if trend.kind == "share" else number
    words = f"from about {shown(trend.first.value)} to about {shown(trend.last.value)}"
    return f"{words} {unit}".rstrip()


def _percent(share: float) -> str:
    return f"{number(100 * share)} %"
