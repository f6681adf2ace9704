"""Words: how text is cut into them, which carry no content, and their stems.

Stems are made as SQLite's FTS5 makes them, so that what is said of a match here is what the lexical index found.
"""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Sequence
from functools import lru_cache
from operator import itemgetter
from typing import NamedTuple

from fightnotes.language import spoken
from fightnotes.model import fold

_LETTERS = r"[^\W_]+(?:[\u0300-\u036f][^\W_]*)*"
"""Letters and digits, with the accents that a decomposed text writes behind the letters."""
_WORD = re.compile(f"{_LETTERS}(?:['’]{_LETTERS})*")


class Word(NamedTuple):
    begin: int
    stop: int
    text: str

    @property
    def stem(self) -> str:
        return stem(self.text)


def words_of(text: str) -> list[Word]:
    """Every word with its place, in order."""
    return [Word(match.start(), match.end(), match[0]) for match in _WORD.finditer(text)]


def says_anything(text: str, begin: int, stop: int) -> bool:
    """Whether a word stands between two offsets: quicker than to make them."""
    return _WORD.search(text, begin, stop) is not None


def written_words(text: str) -> list[str]:
    """Every word as it stands there, in order: quicker, where the places do not matter."""
    return _WORD.findall(text)


@lru_cache(maxsize=65536)
def stem(word: str) -> str:
    """The folded word's Porter stem, what follows an apostrophe left off."""
    bare = folded(word).replace("’", "'").partition("'")[0]
    stemmed: str = spoken.STEMMER.stemWord(bare)
    return stemmed


@lru_cache(maxsize=65536)
def folded(word: str) -> str:
    return fold(word)


def stems_of(text: str) -> tuple[str, ...]:
    """Stems of all its words, in order."""
    return tuple([stem(word) for word in written_words(text)])


@lru_cache(maxsize=65536)
def is_content(word: str) -> bool:
    form = folded(word).replace("’", "'")
    return form not in spoken.FUNCTION_WORDS and form.partition("'")[0] not in spoken.FUNCTION_WORDS


def content_stems(text: str) -> list[str]:
    """Stems of the content words, in order, repeats kept."""
    return [word.stem for word in words_of(text) if is_content(word.text)]


def lies_in(spans: Sequence[tuple[int, int]], offset: int) -> bool:
    """Whether an offset lies in one of the spans, begin and stop each, which follow one another."""
    number = bisect_right(spans, offset, key=itemgetter(0))
    return number > 0 and offset < spans[number - 1][1]
