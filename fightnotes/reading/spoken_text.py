"""The text of a moment of speech, as a careful editor would set it.

The words stay as they were said. Where a sentence ends and no mark says so there is a full stop, and the next word has
a capital; a full stop in mid-sentence goes. Whoever reads on goes by these stops.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from fightnotes.language.sentence_ends import ends_by_mark, has_end_mark
from fightnotes.language.talk import SpokenWord
from fightnotes.language.talk_moments import TalkSentence
from fightnotes.model import Repair, SpokenSentence

_STOP = "."
_WEAK = ",;:-–—"
"""Marks in whose place a sentence that ends there gets its full stop."""


@dataclass(frozen=True)
class SpokenText:
    """What a segment takes over of it: fields of the same names."""

    text: str
    repairs: tuple[Repair, ...]
    sentences: tuple[SpokenSentence, ...]


def spoken_text(words: Sequence[SpokenWord], moment: Sequence[TalkSentence]) -> SpokenText:
    """`words` are those of the whole talk, `moment` some sentences of it, one behind the other."""
    pieces: list[str] = []
    repairs: list[Repair] = []
    sentences: list[SpokenSentence] = []
    at = 0
    for sentence in moment:
        begin = at
        for number in range(sentence.first, sentence.last + 1):
            word = words[number]
            shown = _set(word.text, number == sentence.first, number == sentence.last)
            if word.heard is not None:
                stop = at + min(len(shown), len(word.text))  # without a full stop that is ours
                repairs.append(Repair(begin=at, stop=stop, heard=word.heard, score=word.score))
            pieces.append(shown)
            at += len(shown) + 1
        opening = words[sentence.first]
        sentences.append(SpokenSentence(begin=begin, stop=at - 1, start=opening.start, line=opening.line))
    return SpokenText(" ".join(pieces), tuple(repairs), tuple(sentences))


def _set(word: str, first: bool, last: bool) -> str:
    """A word as it stands in its sentence, of which it may be the first and the last."""
    if last and not has_end_mark(word):
        word = f"{word.rstrip(_WEAK) or word}{_STOP}"
    elif not last and ends_by_mark(word) and word.endswith(_STOP) and not word.endswith(".."):
        word = word[:-1] or word
    return word[:1].upper() + word[1:] if first else word
