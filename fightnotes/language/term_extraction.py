"""Candidate multi-word terms and their C-value.

Source: K. Frantzi, S. Ananiadou, H. Mima, Automatic recognition of multi-word terms: the
C-value/NC-value method, International Journal on Digital Libraries 3 (2000), 115-130.
The paper picks candidates by parts of speech. Here a word list does it: a candidate is a run of words
inside one phrase that neither begins nor ends with a stop word, has none but "of", "to" and "the" inside,
and holds no word with a digit. So verbs come through ("creeps forward"), and the ranking and the person who
reads the proposals have to tell them apart. Words are compared folded and not cut to stems: "body jab" and
"body jabs" are two candidates.
"""

from __future__ import annotations

import math
import re
from collections.abc import Collection, Iterator, Mapping

from fightnotes.language import spoken
from fightnotes.language.words import words_of
from fightnotes.model import fold

Words = tuple[str, ...]
Placed = tuple[int, int, str]
"""Start and end offset of a word in its text, and the word folded."""

LONGEST = 5
_JOINT = re.compile(r"[ \t]*(?:\r?\n)?[ \t]*|-")
"""What may stand between two words of one phrase: blanks with at most one line break, or a hyphen."""


def placed_candidates(
    text: str, breaks: Collection[str] = (), longest: int = LONGEST
) -> Iterator[tuple[int, int, Words]]:
    """Each candidate with the offsets in `text` where it starts and ends."""
    for phrase in _phrases(text, breaks):
        for first, (start, _, opening) in enumerate(phrase):
            if opening in spoken.STOP_WORDS:
                continue
            for last in range(first + 1, min(first + longest, len(phrase))):
                closing = phrase[last][2]
                if closing not in spoken.STOP_WORDS:
                    yield start, phrase[last][1], tuple(word for _, _, word in phrase[first : last + 1])
                elif closing not in spoken.INSIDE_TERMS:
                    break


def _phrases(text: str, breaks: Collection[str]) -> Iterator[list[Placed]]:
    """Runs of words with nothing but blanks or a hyphen between them, without digits and breaks."""
    phrase: list[Placed] = []
    for word in words_of(text):
        if phrase and not _JOINT.fullmatch(text, phrase[-1][1], word.begin):
            yield phrase
            phrase = []
        folded = fold(word.text.replace("’", "'"))
        if folded in breaks or any(char.isdigit() for char in folded):
            yield phrase
            phrase = []
        else:
            phrase.append((word.begin, word.stop, folded))
    yield phrase


def c_values(counts: Mapping[Words, int]) -> dict[Words, float]:
    """The C-value of each candidate, from the frequency of each, nested occurrences counted in.

    log2|a| f(a) for a candidate that no longer one holds, else log2|a| (f(a) - t(a) / c(a)): c(a) is the
    number of longer candidates that hold a, and t(a) the sum over them of f(b) - t(b). By that the paper's
    algorithm counts an occurrence once that stands inside two longer candidates, one of which holds the other.
    A candidate of one word has the value 0.
    """
    holders: dict[Words, list[Words]] = {term: [] for term in counts}
    for longer in counts:
        for inner in _nested(longer):
            if inner in holders:
                holders[inner].append(longer)
    values: dict[Words, float] = {}
    outside: dict[Words, int] = {}
    for term in sorted(counts, key=len, reverse=True):
        nested = sum(outside[longer] for longer in holders[term])
        outside[term] = counts[term] - nested
        share = nested / len(holders[term]) if holders[term] else 0.0
        values[term] = math.log2(len(term)) * (counts[term] - share)
    return values


def _nested(term: Words) -> set[Words]:
    """The shorter runs of two words or more inside a term."""
    return {term[first : first + length] for length in range(2, len(term)) for first in range(len(term) - length + 1)}
