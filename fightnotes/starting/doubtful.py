"""Words of a talk that were perhaps misheard, which no reader puts right: marked in a draft, for a person to see."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence, Set
from dataclasses import dataclass

from fightnotes.language.known_words import known_words
from fightnotes.language.mishearings import find_mishearings
from fightnotes.model import Bout, Record, Segment, Vocabulary, fold

DOUBT = "[?"
"""What a mark begins with, by which a person finds it."""
_PARTED = "—"
"""A word of no moment; runs of words do not go on behind it."""
_TOKEN = re.compile(r"\S+")
_AROUND = re.compile(r"^\W+|\W+$")


class Doubt(Record):
    """Words that may stand for others."""

    moment: int
    """Which of the moments, from 0."""
    begin: int
    stop: int
    """`text[begin:stop]` of the moment."""
    heard: str
    meant: str
    score: float
    """How likely it is, 0 to 1."""

    @property
    def mark(self) -> str:
        """What stands behind the words: ` [?Corvale]`."""
        return f" {DOUBT}{self.meant}]"


def words_alone(text: str) -> str:
    """Without the punctuation around them."""
    return _AROUND.sub("", text)


def with_marks(moments: Sequence[Segment], doubts: Iterable[Doubt]) -> list[str]:
    """The texts of the moments with the marks of their doubts, white space folded."""
    texts = [one.text for one in moments]
    for doubt in reversed(list(doubts)):
        text = texts[doubt.moment]
        texts[doubt.moment] = f"{text[: doubt.stop]}{doubt.mark}{text[doubt.stop :]}"
    return [" ".join(text.split()) for text in texts]


def doubts_in(moments: Sequence[Segment], bout: Bout, vocabulary: Vocabulary, refused: Set[str]) -> Iterator[Doubt]:
    """In order of place; found among the words as they were heard, so that what was put right tells of the others.

    `refused` are forms that a person said mean nothing else, folded.
    """
    tokens = [token for number, one in enumerate(moments) for token in (*_tokens(number, one), _Token(_PARTED, number))]
    known = known_words(bout.fighters, vocabulary)
    for found in find_mishearings([token.word for token in tokens], known, refused):
        run = tokens[found.first : found.last + 1]
        heard = words_alone(moments[run[0].moment].text[run[0].begin : run[-1].stop])
        meant = words_alone(found.meant)
        if any(token.put_right for token in run) or fold(heard) == fold(meant):
            continue
        begin = moments[run[0].moment].text.index(heard, run[0].begin)
        stop = begin + len(heard)
        yield Doubt(moment=run[0].moment, begin=begin, stop=stop, heard=heard, meant=meant, score=found.score)


@dataclass(frozen=True)
class _Token:
    """A word as it was heard, and where it stands in its moment's text, or what was put in its place."""

    word: str
    moment: int
    begin: int = 0
    stop: int = 0
    put_right: bool = False


def _tokens(number: int, moment: Segment) -> Iterator[_Token]:
    here = 0
    for repair in (*moment.repairs, None):
        for match in _TOKEN.finditer(moment.text, here, repair.begin if repair else len(moment.text)):
            if match[0] != ".":  # that of the editor, behind what was put right
                yield _Token(match[0], number, match.start(), match.end())
        if repair:
            for word in repair.heard.split():
                yield _Token(word, number, repair.begin, repair.stop, put_right=True)
            here = repair.stop
