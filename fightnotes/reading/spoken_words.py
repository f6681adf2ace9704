"""Cues to the words of a whole talk, each with its time.

Captions tell when a line begins and ends. A word's time is that of its letters' share of the line, and lies in its own
cue. Times never run backward: where cues overlap, the words of the first are said by the time the second begins, and
cues that begin together share their time.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import groupby
from operator import attrgetter

from fightnotes.language.talk import SpokenWord
from fightnotes.reading.captions import Cue

SLOWEST = Fraction(1, 8)
"""Seconds that a letter may take in a cue without an end: half the rate of ordinary speech (by hand, no source)."""


def spoken_words(cues: Sequence[Cue]) -> list[SpokenWord]:
    """In order of time; cues that begin together stay in the order of the file."""
    ordered = sorted((cue for cue in cues if cue.text.split()), key=attrgetter("start"))
    together = [list(group) for _, group in groupby(ordered, key=attrgetter("start"))]
    words: list[SpokenWord] = []
    for number, group in enumerate(together):
        following = together[number + 1][0].start if number + 1 < len(together) else None
        words.extend(_timed(group, following))
    return words


def _timed(group: Sequence[Cue], following: Fraction | None) -> Iterator[SpokenWord]:
    """The words of cues that begin together, the next of which begins at `following`."""
    said = [(cue, word) for cue in group for word in cue.text.split()]
    letters = sum(len(word) for _, word in said)
    start = group[0].start
    ends = [cue.end for cue in group if cue.end is not None] or [start + letters * SLOWEST]
    end = min(ends) if following is None else min(*ends, following)
    behind, begin = 0, start
    for cue, word in said:
        behind += len(word)
        stop = start + (end - start) * Fraction(behind, letters)
        yield SpokenWord(word, begin, stop, cue.line, cue.speaker)
        begin = stop
