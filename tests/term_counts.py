"""Candidate terms counted over texts, as C-value is given them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterable

from fightnotes.language.term_extraction import LONGEST, Words, placed_candidates


def term_candidates(texts: Iterable[str], breaks: Collection[str] = (), longest: int = LONGEST) -> Counter[Words]:
    """How often each candidate of two to `longest` words occurs; nested ones count wherever they stand.

    `breaks` are folded words that end a phrase, as the names of fighters do.
    """
    return Counter(words for text in texts for _, _, words in placed_candidates(text, breaks, longest))
