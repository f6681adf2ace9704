"""What a moment denies, held against what the query asks.

"Doesn't bite" shares its words and most of its meaning with "bites", and "refuses to take the bait" shares them
with every moment in which it was taken. So a moment loses part of its score

- where words that the query asserts stand only in what the moment denies, or only expects or means to do;
- where the query denies something and the moment denies nothing: neither its words nor its outcome do.
"""

from __future__ import annotations

from dataclasses import dataclass

from fightnotes.language.negation import Span, undone_spans
from fightnotes.language.words import is_content, words_of
from fightnotes.model import Segment, acts_of
from fightnotes.search.query import Query

LOST_DENIED = 0.4
"""Share of its score that a moment loses where all the words it shares with the query stand in what it denies."""
LOST_REPORTED = 0.2
"""The same, where they are not denied but only expected or meant."""
LOST_ASSERTING = 0.2
"""Share of its score that a moment without any denial loses to a query that denies."""
UNDONE_OUTCOMES = frozenset(("ignored", "failed"))


@dataclass(frozen=True)
class Polarity:
    factor: float
    """What the score is multiplied with, at most 1."""
    undone: tuple[str, ...]
    """The words of the moment that go against the query, as they stand there."""


AGREES = Polarity(1.0, ())


def polarity_of(query: Query, segment: Segment) -> Polarity:
    """How a moment stands to the query in what is done and what is not."""
    spans = undone_spans(segment.text)
    if query.denies:
        return AGREES if _denies(segment, spans) else Polarity(1 - LOST_ASSERTING, ())
    if not spans:
        return AGREES
    asserted, undone = _sides(segment.text, spans)
    shared = query.affirmed & (asserted.keys() | undone.keys())
    against = [undone[stem] for stem in query.affirmed & (undone.keys() - asserted.keys())]
    if not against:
        return AGREES
    lost = sum(LOST_DENIED if span.sense == "negated" else LOST_REPORTED for span in against) / len(shared)
    said = dict.fromkeys(segment.text[span.begin : span.stop] for span in sorted(against, key=lambda span: span.begin))
    return Polarity(1 - lost, tuple(said))


def _denies(segment: Segment, spans: list[Span]) -> bool:
    outcomes = {outcome for act in acts_of(segment) for outcome in act.fields.outcome}
    return bool(outcomes & UNDONE_OUTCOMES) or any(span.sense == "negated" for span in spans)


def _sides(text: str, spans: list[Span]) -> tuple[dict[str, None], dict[str, Span]]:
    """Stems of the content words outside every span, and of those inside one with the span that holds them."""
    asserted: dict[str, None] = {}
    undone: dict[str, Span] = {}
    for word in words_of(text):
        if not is_content(word.text):
            continue
        holder = next((span for span in spans if span.begin <= word.begin < span.stop), None)
        if holder is None:
            asserted[word.stem] = None
        else:
            undone.setdefault(word.stem, holder)
    return asserted, undone
