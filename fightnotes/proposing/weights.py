"""What terms and words weigh as proposals, and which are too light to be made."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

import numpy as np

from fightnotes.index.encoder import Vectors
from fightnotes.index.store import Store
from fightnotes.language.in_notes import PARTS
from fightnotes.language.words import stem
from fightnotes.model import Segment
from fightnotes.proposing.term_uses import TermUses
from fightnotes.proposing.word_uses import WordUses

FEWEST_MOMENTS = 3
"""A term stands in that many moments, or it is chance."""
LEAST_GAIN = 0.1
"""How much nearer to each other its moments lie than moments do at large (set by hand on the demo)."""
_FEWEST_OF_TRADE = 2
"""Moments of a word that the trade at large has."""
_FEWEST_OF_OTHERS = 5
_FEWEST_HEADED = 3
"""Moments of another word, and terms of which it is the last word (set by hand on the demo)."""
_HALF_BELIEF = 0.5
"""In a word that is an alternative label in the trade, or none: it may mean other things too (set by hand)."""
_PARTS = frozenset(map(stem, PARTS))


@dataclass(frozen=True)
class WeighedTerm:
    term: TermUses
    tightness: float
    weight: float


@dataclass(frozen=True)
class WeighedWord:
    word: WordUses
    weight: float


def weighed_terms(terms: Iterable[TermUses], store: Store, segments: Mapping[int, Segment]) -> Iterator[WeighedTerm]:
    """A term's weight is its C-value times how much nearer to each other its moments lie than moments at large, on a
    scale from 0 (no nearer) to 1 (alike), less for a term of few moments."""
    common = [term for term in terms if len(term.segments) >= FEWEST_MOMENTS and term.c_value > 0]
    if not common:
        return
    at_large = _between(store.vectors_of(list(segments)))
    for term in common:
        vectors = store.vectors_of(term.segments)
        count, gain = len(vectors), _gain(vectors, at_large)
        if gain >= LEAST_GAIN:
            yield WeighedTerm(term, tightness(vectors), term.c_value * gain * (count - 1) / (count + 1))


def weighed_words(words: Iterable[WordUses], store: Store, segments: Mapping[int, Segment]) -> Iterator[WeighedWord]:
    """A word's weight is the logarithm of its moments times the square root of the share of the bouts that it could
    stand in, less for a word that is not one of the trade's own."""
    at_large = _between(store.vectors_of(list(segments)))
    for word in words:
        moments = len(word.segments)
        if word.trade_word and (word.heads > 1 or word.stem not in _PARTS):
            enough = moments >= _FEWEST_OF_TRADE
            belief = 1.0 if word.trade_word.preferred else _HALF_BELIEF
        else:
            enough = moments >= _FEWEST_OF_OTHERS and word.heads >= _FEWEST_HEADED and word.stem not in _PARTS
            enough = enough and _gain(store.vectors_of(word.segments), at_large) >= LEAST_GAIN
            belief = _HALF_BELIEF
        if enough:
            spread = word.bouts / min(moments, len(store.bouts))
            yield WeighedWord(word, math.log2(1 + moments) * math.sqrt(spread) * belief)


def tightness(vectors: Vectors) -> float:
    """Mean cosine of vectors of length 1 to their centroid, which is the length of their mean; 0 to 1."""
    return float(np.linalg.norm(vectors.mean(axis=0)))


def _gain(vectors: Vectors, at_large: float) -> float:
    return (_between(vectors) - at_large) / max(1 - at_large, 1e-6)


def _between(vectors: Vectors) -> float:
    """Mean cosine between any two of the vectors; unlike that to the centroid it does not fall as they get more."""
    count = len(vectors)
    return float((count * tightness(vectors) ** 2 - 1) / (count - 1)) if count > 1 else 0.0
