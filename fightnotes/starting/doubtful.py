"""Words of a talk that were perhaps misheard, which no reader puts right: marked in a draft, for a person to see."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence, Set

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
    """In order of place. `refused` are forms that a person said mean nothing else, folded."""
    tokens: list[str] = []
    places: list[tuple[int, int, int]] = []
    for number, one in enumerate(moments):
        for match in _TOKEN.finditer(one.text):
            tokens.append(match[0])
            places.append((number, match.start(), match.end()))
        tokens.append(_PARTED)
        places.append((number, len(one.text), len(one.text)))
    for found in find_mishearings(tokens, known_words(bout.fighters, vocabulary), refused):
        number, begin, _ = places[found.first]
        text = moments[number].text[begin : places[found.last][2]]
        heard, meant = words_alone(text), words_alone(found.meant)
        if fold(heard) == fold(meant):
            continue
        begin += text.index(heard)
        yield Doubt(moment=number, begin=begin, stop=begin + len(heard), heard=heard, meant=meant, score=found.score)
