"""How often what words tell is so: in notes, and in speech, which tells things in passing and goes on with pronouns."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from fightnotes.language.attribution import Person
from fightnotes.language.parts import Way

_ANSWERS = frozenset(("reacts", "idles", "beside", "passive", "defends"))


@dataclass(frozen=True)
class Trust:
    """Probabilities, and what they are multiplied with."""

    ways: Mapping[Way, float]
    """That it is the fighter whom the words tell so."""
    pronoun: float
    """Where a pronoun stands for the name."""
    from_before: float
    """Where it stands for one who was named before the text alone."""
    led_up_to: float
    """Where clauses without anybody stand before, but for those that answer them."""
    led_from_before: float
    """Where both is so."""
    outcome_of: float
    """An outcome is at most so much surer than who acts, where that is told: it is one of the two fighters'."""

    def of(self, person: Person) -> float:
        """That it is this fighter who acts."""
        led_up_to = person.led_up_to and person.way not in _ANSWERS
        if person.from_before:
            share = self.led_from_before if led_up_to else self.from_before
        else:
            share = self.led_up_to if led_up_to else 1.0
        return self.ways[person.way] * (self.pronoun if person.pronoun else 1.0) * share


NOTES = Trust(
    ways={
        "subject": 0.9, "own": 0.88, "agent": 0.92, "passive": 0.88, "defends": 0.75, "reacts": 0.87, "idles": 0.8,
        "struck": 0.85, "beside": 0.85, "inside": 0.8, "hand": 0.85, "answered": 0.8, "carried": 0.8,
    },
    pronoun=0.95, from_before=0.7, led_up_to=0.6, led_from_before=0.42, outcome_of=2.0,
)  # fmt: skip
"""A little less than on the notes that the rules were made on."""
SPEECH = Trust(
    ways={
        "subject": 0.88, "own": 0.82, "agent": 0.92, "passive": 0.85, "defends": 0.75, "reacts": 0.87, "idles": 0.75,
        "struck": 0.82, "beside": 0.82, "inside": 0.85, "hand": 0.9, "answered": 0.8, "carried": 0.81,
    },
    pronoun=0.95, from_before=0.85, led_up_to=1.0, led_from_before=0.35, outcome_of=1.0,
)  # fmt: skip
"""Counted on the tuned talks of `tests/bench/talk_attribution.py`, answers where the truth has none among them."""
