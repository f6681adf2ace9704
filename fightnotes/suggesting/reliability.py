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
    value: str
    probability: float
    right: bool


@dataclass(frozen=True)
class Reliability:
    """What the log-odds of answers from words gain by the library's own notes."""

    of_fields: dict[str, float] = field(default_factory=dict)
    of_outcomes: dict[str, float] = field(default_factory=dict)
    """Of a single outcome, where the library has it: what is told to have landed may be noted otherwise."""

    def probability(self, key: str, value: str, said: float) -> float:
        gain = self.of_fields.get(key, 0.0)
        if key == "outcome":
            gain = self.of_outcomes.get(value, gain)
        return _more_likely(said, min(gain, _MOST))


def reliability_of(told: Sequence[ToldField]) -> Reliability:
    fields = {key: _gain([one for one in told if one.key == key]) for key in {one.key for one in told}}
    outcomes = [one for one in told if one.key == "outcome"]
    return Reliability(
        fields,
        {
            value: _gain([one for one in outcomes if one.value == value], fields["outcome"])
            for value in {one.value for one in outcomes}
        },
    )


def _gain(told: Sequence[ToldField], before: float = 0.0) -> float:
    """Of such answers, drawn towards what was found for more of them `before`."""
    said = sum(_more_likely(one.probability, before) for one in told) / len(told)
    right = (sum(one.right for one in told) + _PRIOR * said) / (len(told) + _PRIOR)
    return before + float(logit(right) - logit(said))


def _more_likely(probability: float, gain: float) -> float:
    """A probability of which the log-odds gain something; by nothing it is the same to the last bit."""
    odds = probability * exp(gain)
    return odds / (1 - probability + odds)
