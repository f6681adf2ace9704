"""What a moment denies, held against what the query asks.

"Doesn't bite" shares its words and most of its meaning with "bites". Where a word that the query asserts
stands only in what the moment denies (or expects, or only threatens), or the other way round, the moment
loses part of its score and says so.
"""

from __future__ import annotations

from dataclasses import dataclass

from fightnotes.language.negation import Span, undone_spans
from fightnotes.language.words import is_content, words_of
from fightnotes.search.query import Query

MOST_LOST = 0.45
"""Share of its score that a moment loses when every shared word stands on the other side."""
REPORTED_LOST = 0.25
"""The same, where the words are not denied but only expected or meant."""


@dataclass(frozen=True)
class Polarity:
    factor: float
    """What the score is multiplied with, at most 1."""
    undone: tuple[str, ...]
    """The words of the moment that go against the query, as they stand there."""


AGREES = Polarity(1.0, ())


def polarity_of(query: Query, text: str) -> Polarity:
    """How a moment's text stands to the query in what is done and what is not."""
    spans = undone_spans(text)
    if not spans and not query.negated:
        return AGREES
    asserted, undone = _sides(text, spans)
    shared = (query.affirmed | query.negated) & (asserted.keys() | undone.keys())
    against = [undone[stem] for stem in query.affirmed & undone.keys() - asserted.keys()]
    missing = (query.negated & asserted.keys()) - undone.keys()
    if not shared or not (against or missing):
        return AGREES
    lost = sum(MOST_LOST if span.sense == "negated" else REPORTED_LOST for span in against) + MOST_LOST * len(missing)
    said = dict.fromkeys(text[span.begin : span.stop] for span in sorted(against, key=lambda span: span.begin))
    return Polarity(1 - lost / len(shared), tuple(said))


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
