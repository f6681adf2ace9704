"""The words of a talk as they were heard, and the runs of them that may stand for one name or label."""

from __future__ import annotations

import re
from bisect import bisect_left
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import accumulate

from fightnotes.language import spoken
from fightnotes.language.known_words import KnownWords, Words
from fightnotes.language.labels import find_labels
from fightnotes.language.names import find_names
from fightnotes.language.words import words_of
from fightnotes.model import fold

MOST_WORDS = 5
"""Of a run."""
_MOST_LETTERS = 60
"""Of a run: nobody's name or label is longer."""
_STOP_BEHIND = re.compile(r"[.;:!?,…)\"“”–—]['’]?$")
_STOP_BEFORE = re.compile(r"^['‘]?[(\"“”–—]")


@dataclass(frozen=True)
class HeardWord:
    """A word without its punctuation; of a token such as `lead-hand` there are two."""

    token: int
    text: str
    """Folded."""
    first: bool
    last: bool
    """Of its token."""
    open: bool
    """Whether no stop parts it from the next word."""
    capital: bool


@dataclass(frozen=True)
class HeardRun:
    """The words from `begin` up to and without `stop`."""

    begin: int
    stop: int
    words: Words
    """Without a possessive at the end."""
    ending: str
    """That possessive."""


def heard_words(tokens: Sequence[str]) -> list[HeardWord]:
    """A token without letters or digits is none, and parts those beside it."""
    found: list[HeardWord] = []
    for number, token in enumerate(tokens):
        words = words_of(token)
        if found and (not words or _STOP_BEFORE.match(token)):
            found[-1] = _closed(found[-1])
        behind = not _STOP_BEHIND.search(token)
        found += [
            HeardWord(
                token=number,
                text=fold(word.text).replace("’", "'"),
                first=place == 0,
                last=place == len(words) - 1,
                open=behind or place < len(words) - 1,
                capital=word.text[0].isupper(),
            )
            for place, word in enumerate(words)
        ]
    return found


def _closed(word: HeardWord) -> HeardWord:
    return HeardWord(word.token, word.text, word.first, word.last, False, word.capital)


def runs_of(heard: Sequence[HeardWord], known: KnownWords) -> Iterator[HeardRun]:
    """Every run of whole tokens with no stop inside that holds no name and crosses no label that stands there right."""
    named, labels = said_right(heard, known)
    for begin, word in enumerate(heard):
        if not word.first:
            continue
        letters = 0
        for stop in range(begin + 1, min(begin + MOST_WORDS, len(heard)) + 1):
            letters += len(heard[stop - 1].text)
            if named[stop - 1] or letters > _MOST_LETTERS:
                break
            if heard[stop - 1].last and not any(_crosses(label, begin, stop) for label in labels[begin:stop] if label):
                yield run_of(heard, begin, stop)
            if not heard[stop - 1].open:
                break


def run_of(heard: Sequence[HeardWord], begin: int, stop: int) -> HeardRun:
    words = [word.text for word in heard[begin:stop]]
    ending = words[-1][-2:] if words[-1].endswith(spoken.POSSESSIVE) else ""
    words[-1] = words[-1].removesuffix(ending)
    return HeardRun(begin, stop, tuple(words), ending)


def said_right(heard: Sequence[HeardWord], known: KnownWords) -> tuple[list[bool], list[tuple[int, int] | None]]:
    """By word, whether it belongs to a name, and from where to where the label goes that it belongs to."""
    pieces = [word.text + (" " if word.open else " . ") for word in heard]
    begins = list(accumulate(map(len, pieces), initial=0))
    text = "".join(pieces)
    named = [False] * len(heard)
    labels: list[tuple[int, int] | None] = [None] * len(heard)
    for name in find_names(text, known.names):
        for number in range(bisect_left(begins, name.begin), bisect_left(begins, name.stop)):
            named[number] = True
    for label in find_labels(text, known.labels):
        span = bisect_left(begins, label.begin), bisect_left(begins, label.stop)
        labels[span[0] : span[1]] = [span] * (span[1] - span[0])
    return named, labels


def _crosses(label: tuple[int, int], begin: int, stop: int) -> bool:
    """Whether the run holds less than the whole label, or just that."""
    return (begin, stop) == label or label[0] < begin or stop < label[1]
