"""How far the words of a library's notes tell what their fields have: what an answer from words is worth in it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from math import exp

from scipy.special import logit

_PRIOR = 20.0
"""Notes of which as many are right as was said, beside those of the library."""
_MOST = 1.0
"""What the log-odds gain at most: fields that were taken from suggestions in bulk agree with words of themselves."""


@dataclass(frozen=True)
class ToldField:
    """What words tell for a field that the note has."""

    key: str
    probability: float
    right: bool


@dataclass(frozen=True)
class Reliability:
    """What the log-odds of answers from words gain by the library's own notes."""

    of_fields: dict[str, float] = field(default_factory=dict)

    def probability(self, key: str, said: float) -> float:
        return _more_likely(said, min(self.of_fields.get(key, 0.0), _MOST))


def reliability_of(told: Sequence[ToldField]) -> Reliability:
    return Reliability({key: _gain([one for one in told if one.key == key]) for key in {one.key for one in told}})


def _gain(told: Sequence[ToldField]) -> float:
    said = sum(one.probability for one in told) / len(told)
    right = (sum(one.right for one in told) + _PRIOR * said) / (len(told) + _PRIOR)
    return float(logit(right) - logit(said))


def _more_likely(probability: float, gain: float) -> float:
    """A probability of which the log-odds gain something; by nothing it is the same to the last bit."""
    odds = probability * exp(gain)
    return odds / (1 - probability + odds)
