"""What a moment denies, held against what the query asks.

"Doesn't bite" shares its words and most of its meaning with "bites", and "refuses to take the bait" shares them
with every moment in which it was taken. So a moment loses part of its score

- where words that the query asserts stand only in what the moment denies, or only expects or means to do;
- where the query denies something and the moment denies nothing: neither its words nor its outcome do.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from fightnotes.language.negation import UndoneSpan, undone_spans
from fightnotes.language.words import is_content, words_of
from fightnotes.model import Segment, acts_known
from fightnotes.search.query import Query

LOST_DENIED = 0.4
"""Share of its score that a moment loses where all the words it shares with the query stand in what it denies."""
LOST_REPORTED = 0.2
"""The same, where they are not denied but only expected or meant."""
LOST_ASSERTING = 0.3
"""Share of its score that a moment without any denial loses to a query that denies."""
UNDONE_OUTCOMES = frozenset(("ignored", "failed"))


@dataclass(frozen=True)
class Polarity:
    """How a moment stands to a query in what is done and what is not."""

    factor: float = 1.0
    """What the score is multiplied with, at most 1."""
    denies: tuple[str, ...] = ()
    """What the moment denies as the query does: its words, as they stand there, and outcomes."""
    undone: tuple[str, ...] = ()
    """The words of the moment that go against the query, as they stand there."""


AGREES = Polarity()


def polarity_of(query: Query, segment: Segment) -> Polarity:
    spans = undone_spans(segment.text)
    if query.denies:
        denied = _denied(segment, spans)
        return Polarity(denies=denied) if denied else Polarity(1 - LOST_ASSERTING)
    return _held_against(query.affirmed, segment.text, spans) if spans else AGREES


def _denied(segment: Segment, spans: Sequence[UndoneSpan]) -> tuple[str, ...]:
    outcomes = (outcome for act in acts_known(segment) for outcome in act.fields.outcome)
    return (
        *_as_written(segment.text, (span for span in spans if span.sense == "negated")),
        *dict.fromkeys(f"outcome:{outcome}" for outcome in outcomes if outcome in UNDONE_OUTCOMES),
    )


def _held_against(affirmed: frozenset[str], text: str, spans: Sequence[UndoneSpan]) -> Polarity:
    """For a query that denies nothing: which of its words stand only in what the text denies, or only means."""
    asserted: set[str] = set()
    undone: dict[str, UndoneSpan] = {}
    for word in words_of(text):
        if word.stem in affirmed and is_content(word.text):
            holder = next((span for span in spans if span.begin <= word.begin < span.stop), None)
            if holder:
                undone.setdefault(word.stem, holder)
            else:
                asserted.add(word.stem)
    against = [undone[stem] for stem in undone.keys() - asserted]
    lost = sum(LOST_DENIED if span.sense == "negated" else LOST_REPORTED for span in against)
    return Polarity(
        factor=1 - lost / len(asserted | undone.keys()) if against else 1.0, undone=_as_written(text, against)
    )


def _as_written(text: str, spans: Iterable[UndoneSpan]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(text[span.begin : span.stop] for span in sorted(spans, key=lambda span: span.begin)))
