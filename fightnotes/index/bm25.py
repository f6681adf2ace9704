"""What BM25 is reckoned with, by whichever engine keeps the words, so that all of them rank alike.

It is Robertson and Zaragoza's (The probabilistic relevance framework: BM25 and beyond, 2009) as SQLite's FTS5 has it
(www.sqlite.org/fts5.html, "The bm25() function", and fts5_aux.c): a word's places are weighed by their column before
they are counted, and the length of a text is that of both columns.
"""

from __future__ import annotations

import math

K1, B = 1.2, 0.75
"""As FTS5 has them fixed."""
LABEL_WEIGHT = 0.6
"""What a word in a tag's labels counts for, against 1 for the same word in the prose."""
_LEAST = 1e-6


def rarity(holders: int, size: int) -> float:
    """What a word weighs that so many of `size` texts hold: log((size - holders + 0.5) / (holders + 0.5)), or the least
    that FTS5 lets it weigh, where half of the texts hold it."""
    return max(math.log((size - holders + 0.5) / (holders + 0.5)), _LEAST)
