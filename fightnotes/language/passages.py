"""Long texts in passages: pieces of a sentence or a few, short enough to be about one thing."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from fightnotes.language.words import words_of, written_words

LONG = 48
"""Words from which on a text has passages; a shorter one is compared as a whole."""
_WORDS = 32
"""Words that a passage may have: what is said of one exchange (common practice, no source)."""
_SENTENCE_END = re.compile(r"[.!?…][\"'”’)]*\s+|\n+")


@dataclass(frozen=True)
class Passage:
    """Offsets of a piece of a text."""

    begin: int
    stop: int


def passages_of(text: str) -> tuple[Passage, ...]:
    """The pieces of a long text, one behind the other; none of a text that is not long.

    Whole sentences go together as long as they fit; a sentence that does not fit alone, as in running speech without
    marks, is cut between words.
    """
    if len(text) < 2 * LONG or len(written_words(text)) <= LONG:
        return ()
    return tuple(_joined(list(_pieces(text))))


def _pieces(text: str) -> Iterator[tuple[int, int, int]]:
    """Sentences, and parts of those that are too long: begin, stop, words."""
    ends = [0, *(match.end() for match in _SENTENCE_END.finditer(text)), len(text)]
    for begin, stop in pairwise(ends):
        words = words_of(text[begin:stop])
        for first in range(0, len(words), _WORDS):
            part = words[first : first + _WORDS]
            last = first + _WORDS >= len(words)
            yield begin + part[0].begin, stop if last else begin + words[first + _WORDS].begin, len(part)


def _joined(pieces: list[tuple[int, int, int]]) -> Iterator[Passage]:
    begin, stop, count = pieces[0]
    for piece_begin, piece_stop, words in pieces[1:]:
        if count + words > _WORDS:
            yield Passage(begin, stop)
            begin, count = piece_begin, 0
        stop, count = piece_stop, count + words
    yield Passage(begin, stop)
