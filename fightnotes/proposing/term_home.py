"""Where in the vocabulary a term belongs: by the tags beside it, by its words and by its meaning."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from fightnotes.index.encoder import Vectors
from fightnotes.language import spoken
from fightnotes.language.labels import Label, Stems, label_stems, labels_of
from fightnotes.language.words import stem, stems_of
from fightnotes.model import Segment, Vocabulary
from fightnotes.proposing.proposal import ProposalKind
from fightnotes.proposing.term_uses import SIDES

SURE = 0.9
"""Share of the tags and nearness in meaning, taken together, from which a term is another label (set by hand)."""
SURE_BY_TAGS = 0.8
"""Share of the tags that is enough alone, and that a term with a side in it needs: a left hand is one thing in one
stance alone (set by hand)."""
NEAR = 0.5
"""Nearness in meaning from which a term belongs where its nearest concept does, whatever is tagged; below it, most of
the tagged moments with the term have to bear that tag (set by hand)."""
_FEWEST_TAGS = 2
_SHARED_WORDS = 0.3
"""Added for a concept one of whose labels holds the term or ends with its last word (set by hand)."""
_STOP_STEMS = frozenset(map(stem, spoken.STOP_WORDS))


@dataclass(frozen=True)
class Home:
    kind: ProposalKind
    concept: str | None
    why: str


def home_of(
    term: Stems,
    segments: Sequence[Segment],
    vocabulary: Vocabulary,
    meaning: dict[str, float],
    trade: Vocabulary | None = None,
) -> Home:
    """Another label of a concept, a new concept under one, or at the top where nothing speaks for one above it;
    `meaning` is the term's cosine to each concept."""
    tagged = [{tag.concept for tag in segment.tags if tag.concept in meaning} for segment in segments]
    tagged = [concepts for concepts in tagged if concepts]
    beside = Counter(concept for concepts in tagged for concept in concepts)
    shares = {concept: count / (len(tagged) + 1) for concept, count in beside.items()}
    by_words = _by_words(term, vocabulary, shares)
    if by_words:
        return by_words
    if not meaning:
        return Home("concept", None, "there are no concepts yet")
    shared = {concept: _shared_words(term, vocabulary, concept) for concept in meaning}
    near = {
        concept: max(cosine, 0.0) + shares.get(concept, 0.0) + shared[concept] for concept, cosine in meaning.items()
    }
    best = max(near, key=lambda concept: (near[concept], concept))
    why = f"{beside[best]} of {len(tagged)} tagged moments with it are {best}; meaning {meaning[best]:.2f}"
    by_tags = shares.get(best, 0.0) >= SURE_BY_TAGS
    if by_tags or (near[best] >= SURE and beside[best] >= _FEWEST_TAGS and not SIDES & set(term)):
        return Home("label", best, why)
    by_trade = _by_trade(term, vocabulary, trade) if trade else None
    if by_trade:
        return by_trade
    if meaning[best] < NEAR and (beside[best] < _FEWEST_TAGS or 2 * beside[best] <= len(tagged)):
        return Home("concept", None, f"under none for sure: {why}")
    above = vocabulary.by_id[best].broader
    broader = above[0] if above and above[0] in vocabulary.by_id and not vocabulary.narrower[best] else best
    return Home("concept", broader, why)


def home_by_words(term: str, vocabulary: Vocabulary, trade: Vocabulary, label: Label | None = None) -> Home:
    """Of a word or a tag, by its words alone: `label` is what it spells another way; else the concept that it is a
    kind of, by its last words or in the vocabulary of the trade; else none."""
    if label:
        return Home("label", label.concept, f"another spelling of '{label.text}'")
    stems = stems_of(term)
    return _by_words(stems, vocabulary, {}) or _by_trade(stems, vocabulary, trade) or Home("concept", None, "")


def _by_words(term: Stems, vocabulary: Vocabulary, shares: Mapping[str, float]) -> Home | None:
    same = next((found for found in _labels(vocabulary) if _same(found[0], found[1], term)), None)
    if same:
        return Home("label", same[2], f"the same words as '{same[1]}'")
    heads = [found for found in _labels(vocabulary) if _heads(found[0], term)]
    if not heads:
        return None
    _, label, concept = max(heads, key=lambda found: (len(found[0]), shares.get(found[2], 0.0)))
    return Home("concept", concept, f"a kind of {label}, by its words")


def meanings(vectors: Vectors, ids: Sequence[str], concepts: Vectors) -> list[dict[str, float]]:
    """For each term's vector its cosine to each concept; rows have length 1."""
    return [dict(zip(ids, map(float, row), strict=True)) for row in vectors @ concepts.T]


def _labels(vocabulary: Vocabulary) -> list[tuple[Stems, str, str]]:
    written = (label for label in labels_of(vocabulary) if label.role in ("preferred", "alternative"))
    return [(stems_of(label.text), label.text, label.concept) for label in written]


def _heads(label: Stems, term: Stems) -> bool:
    """Whether the label is what the term is a kind of: its last words, or its first before "of", "to"."""
    rest = len(term) - len(label)
    if rest <= 0 or not label:
        return False
    return term[rest:] == label or (term[: len(label)] == label and term[len(label)] in _STOP_STEMS)


def _shared_words(term: Stems, vocabulary: Vocabulary, concept: str) -> float:
    for label, role in vocabulary.by_id[concept].labels():
        stems = stems_of(label)
        inside = any(stems[first : first + len(term)] == term for first in range(len(stems)))
        if role != "hidden" and len(stems) > 1 and (inside or stems[-1] == term[-1]):
            return _SHARED_WORDS
    return 0.0


def _by_trade(term: Stems, vocabulary: Vocabulary, trade: Vocabulary) -> Home | None:
    """Another label of what the trade has it for, or under what the trade has it, or its last words, under."""
    found = [each for each in _labels(trade) if each[0] == term or _heads(each[0], term)]
    if not found:
        return None
    stems, label, concept = max(found, key=lambda each: len(each[0]))
    same = vocabulary.resolve(trade.by_id[concept].label)
    if same and stems == term:
        return Home("label", same, f"the trade has '{label}' for {trade.by_id[concept].label}")
    for above in trade.with_broader(concept)[1:]:
        known = next(filter(None, (vocabulary.resolve(name) for name, _ in trade.by_id[above].labels())), None)
        if known:
            return Home("concept", known, f"the trade has {label} under {trade.by_id[above].label}")
    return None


def _same(stems: Stems, label: str, term: Stems) -> bool:
    """Whether a label has the content words of a term; one word alone is no "use of the ring"."""
    return label_stems(label) == term if len(term) == 1 else _content(stems) == _content(term)


def _content(stems: Stems) -> frozenset[str]:
    return frozenset(stems) - _STOP_STEMS
