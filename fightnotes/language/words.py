"""Words: how text is cut into them, which carry no content, and their stems.

Stems are those of the Porter algorithm (Porter 1980), as SQLite's FTS5 makes them, so that what is said
of a match here is what the lexical index found.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache

import Stemmer

from fightnotes.model import fold

_LETTERS = r"[^\W_]+(?:[\u0300-\u036f][^\W_]*)*"
"""Letters and digits, with the accents that a decomposed text writes behind the letters."""
_WORD = re.compile(f"{_LETTERS}(?:['’]{_LETTERS})*")
_PORTER = Stemmer.Stemmer("porter")

_FUNCTION_WORDS = """
a about after all also am an and any are as at be because been before being but by can could did do does doing done
for from get gets getting goes going had has have having he her here hers him his how i if in into is it its itself
just let lets me more most much my no nor not of on one or other our own same she should so some somebody someone
something such than that the their them then there these they thing this those to too us use used uses using very
was we were what when where which while who whom whose why will with would you your don doesn didn isn aren wasn
weren won wouldn can't couldn shouldn hasn haven hadn t s ll re ve d m without never none nobody nothing neither
every each time times moment moments show find
"""
FUNCTION_WORDS = frozenset(_FUNCTION_WORDS.split())
"""English words that say nothing of what happened. Words of place and direction (up, out, off, inside, over)
are not among them: in this trade they are content."""


@dataclass(frozen=True)
class Word:
    begin: int
    stop: int
    text: str

    @property
    def stem(self) -> str:
        return stem(self.text)


def words_of(text: str) -> list[Word]:
    """Every word with its place, in order."""
    return [Word(match.start(), match.end(), match[0]) for match in _WORD.finditer(text)]


def written_words(text: str) -> list[str]:
    """Every word as it stands there, in order: quicker, where the places do not matter."""
    return _WORD.findall(text)


@lru_cache(maxsize=65536)
def stem(word: str) -> str:
    """The folded word's Porter stem, what follows an apostrophe left off."""
    bare = fold(word).replace("’", "'").partition("'")[0]
    stemmed: str = _PORTER.stemWord(bare)
    return stemmed


def stems_of(text: str) -> tuple[str, ...]:
    """Stems of all its words, in order."""
    return tuple([stem(word) for word in written_words(text)])


def is_content(word: str) -> bool:
    folded = fold(word).replace("’", "'")
    return folded not in FUNCTION_WORDS and folded.partition("'")[0] not in FUNCTION_WORDS


def content_stems(text: str) -> list[str]:
    """Stems of the content words, in order, repeats kept."""
    return [word.stem for word in words_of(text) if is_content(word.text)]


def stems_within(words: Iterable[Word], begin: int, stop: int) -> set[str]:
    """Stems of the content words between two offsets."""
    return {word.stem for word in words if begin <= word.begin < stop and is_content(word.text)}
