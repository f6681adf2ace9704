"""What a text says was not done, or was only meant or expected.

Negation follows NegEx (Chapman, Bridewell, Hanbury, Cooper and Buchanan 2001): a cue reaches over the words
behind it until a word or mark that ends the clause, at most so many words; some phrases look like cues and
are none, and a few cues stand behind what they deny.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

from fightnotes.language import spoken
from fightnotes.language.small_letters import lowered, small_pattern
from fightnotes.language.words import Word, lies_in, words_of

Sense = Literal["negated", "reported"]
REACH = 7
"""Words that a cue covers (NegEx uses 5; speech about a fight puts more small words between)."""
_CLAUSE_END = re.compile(rf"[.;:!?\n—]|,(?=\s)|\s[-–]\s|{spoken.CLAUSE_OPENERS}", re.IGNORECASE)
_WINDOW = 256
"""Characters behind a cue that mostly hold what it reaches."""
_MARGIN = 32
"""Characters before a cut that a clause's end needs, so that the cut is not taken for a word's end."""
_UNREAL = re.compile(spoken.UNREAL, re.IGNORECASE)


@dataclass(frozen=True)
class UndoneSpan:
    """Offsets of the words that a cue covers, the cue among them."""

    begin: int
    stop: int
    cue: str
    sense: Sense

    @property
    def rules_out(self) -> bool:
        """Whether what it covers did not happen, rather than that it may still."""
        return self.sense == "negated" or bool(_UNREAL.match(self.cue))


def _pattern(cues: tuple[str, ...]) -> re.Pattern[str]:
    return small_pattern(rf"(?<![\w'’])(?:{'|'.join(cues)})(?![\w'’])")


_CUES: tuple[tuple[Sense, re.Pattern[str]], ...] = (
    ("negated", _pattern(spoken.NEGATING)),
    ("reported", _pattern(spoken.REPORTING)),
)
_CUES_BEHIND: tuple[tuple[Sense, re.Pattern[str]], ...] = (
    ("negated", spoken.NEGATING_BEHIND),
    ("reported", spoken.REPORTING_BEHIND),
)
_LOOKALIKES = _pattern(spoken.NO_CUE)


@lru_cache(maxsize=256)
def undone_spans(text: str) -> tuple[UndoneSpan, ...]:
    """The parts of a text that say what was not done (`negated`) or only meant or expected (`reported`), by place."""
    small = lowered(text)
    said = [(sense, match) for sense, cues in _CUES for match in cues.finditer(small)]
    if not said:
        return ()
    lookalikes = [match.span() for match in _LOOKALIKES.finditer(small)]
    spans = [_reach(text, *match.span(), sense) for sense, match in said if not lies_in(lookalikes, match.start())]
    return tuple(sorted(spans, key=lambda span: (span.begin, span.stop)))


def negated_spans(text: str) -> list[UndoneSpan]:
    return [span for span in undone_spans(text) if span.sense == "negated"]


def says_undone(text: str) -> bool:
    """Whether anything in it may be undone: quick, and of most texts false. A denial behind has a cue in it, too."""
    small = lowered(text)
    return any(cues.search(small) for _, cues in _CUES) or spoken.REPORTING_BEHIND.search(text) is not None


def spans_over(text: str, begin: int, stop: int) -> Iterator[UndoneSpan]:
    """What undoes the words between two offsets: the cues before them that reach them, and those right behind.

    A cue among the words is part of what they name, as in "not getting hit".
    """
    for span in undone_spans(text):
        if span.begin < begin < span.stop:
            yield span
    for sense, cues in _CUES_BEHIND:
        match = cues.match(text, stop)
        if match:
            yield UndoneSpan(begin, match.end(), match[0].strip(), sense)


def _reach(text: str, begin: int, end: int, sense: Sense) -> UndoneSpan:
    """Of the cue between two offsets."""
    covered = _covered(text, end)
    return UndoneSpan(begin, end + covered[-1].stop if covered else end, text[begin:end], sense)


def _covered(text: str, begin: int) -> list[Word]:
    """The words behind a cue that it reaches; as little as tells them is looked at, for a clause may be endless."""
    window = _WINDOW
    while True:
        cut = begin + window < len(text)
        end = _CLAUSE_END.search(text, begin, begin + window)
        limit = end.start() if end else begin + window
        words = words_of(text[begin:limit])
        if not cut or len(words) > REACH or (end and end.end() + _MARGIN < begin + window):
            return words[:REACH]
        window *= 2
