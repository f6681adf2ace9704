"""Cues to the words of a whole talk, each with its time.

Captions tell when a line begins and ends, and some when a word begins. Else a word's time is that of its letters' share
of the line. It lies in its own cue. Times never run backward: where cues overlap, the words of the first are said by
the time the second begins, and cues that begin together share their time.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction
from itertools import groupby
from operator import attrgetter

from fightnotes.language.talk import SpokenWord
from fightnotes.reading.captions import Cue, Stamps

_LETTER, _WORD = Fraction(1, 8), Fraction(1, 4)
"""Seconds that a letter may take, and a word beside, where no end is written: half the rate of ordinary speech (by
hand). What is left of the time is silence."""


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
    start = group[0].start
    ends = [cue.end for cue in group if cue.end is not None] or [start + _longest(word for _, word in said)]
    end = min(ends) if following is None else min(*ends, following)
    begin = 0
    for stop, when, until in _pieces(group[0].stamps if len(group) == 1 else (), start, end, len(said)):
        yield from _shared(said[begin:stop], when, until)
        begin = stop


def _pieces(stamps: Stamps, start: Fraction, end: Fraction, words: int) -> Iterator[tuple[int, Fraction, Fraction]]:
    """The stretches of a cue between the stamps that go on inside it: behind which word, from when, to when."""
    kept = [(0, start)]
    for word, time in stamps:
        if kept[-1][0] < word < words and kept[-1][1] <= time <= end:
            kept.append((word, time))
    for number, (_, when) in enumerate(kept):
        behind, last = kept[number + 1] if number + 1 < len(kept) else (words, end)
        yield behind, when, last


def _shared(said: Sequence[tuple[Cue, str]], start: Fraction, end: Fraction) -> Iterator[SpokenWord]:
    """Words with their share of the time, by letters; in a cue whose words have stamps no longer than they can take."""
    if said[0][0].stamps:
        end = min(end, start + _longest(word for _, word in said))
    letters = sum(len(word) for _, word in said)
    behind, begin = 0, start
    for cue, word in said:
        behind += len(word)
        stop = start + (end - start) * Fraction(behind, letters)
        yield SpokenWord(word, begin, stop, cue.line, cue.speaker, cue.end is None)
        begin = stop


def _longest(words: Iterable[str]) -> Fraction:
    return sum((_WORD + len(word) * _LETTER for word in words), Fraction(0))
