"""Payloads to cues: lines that rolling captions repeat are taken once, and each voice gets its own cue.

Automatic captions roll: every cue shows the line before once more, above the new one. Lines at the top of
a cue that equal, with their speaker, the last lines of the payload before it are dropped where the two cues
touch or overlap. A cue that only repeats is dropped, and the cue before it lasts until its end: words said
twice in two touching cues, with nothing between, are therefore kept once.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from itertools import accumulate, groupby
from operator import itemgetter

from .cue import Cue, Stamps, plain

ROLLED_LINES = 4
"""How many lines a roll may repeat: roll-up captions show two to four rows (CEA-608, from memory)."""


RawRun = tuple[str | None, str, Fraction | None]
"""Speaker, text, and when its first word begins, where a stamp stands before it."""


@dataclass(frozen=True)
class TextLine:
    """One line of a payload that has text."""

    number: int
    """1-based line in the file."""
    runs: tuple[tuple[str | None, str], ...]
    """(speaker, plain text); neighbours differ in speaker."""
    stamps: tuple[Stamps, ...]
    """Of the words of each run."""


@dataclass(frozen=True)
class Payload:
    """A cue as the file has it, markup taken off."""

    start: Fraction
    end: Fraction | None
    ident: str | None
    timing_line: int
    lines: tuple[TextLine, ...]


def text_line(number: int, raw: Iterable[RawRun]) -> TextLine | None:
    """A line of plain text from its runs of raw text; None where nothing but white space is left."""
    joined: list[_Run] = []
    for speaker, text, time in raw:
        if not joined or (joined[-1].speaker != speaker and plain(text)):
            joined.append(_Run(speaker))
        joined[-1].add(text, time)
    kept = [(run, text) for run in joined if (text := plain("".join(run.texts)))]
    if not kept:
        return None
    return TextLine(
        number, tuple((run.speaker, text) for run, text in kept), tuple(tuple(run.stamps) for run, _ in kept)
    )


@dataclass
class _Run:
    speaker: str | None
    texts: list[str] = field(default_factory=list)
    stamps: list[tuple[int, Fraction]] = field(default_factory=list)
    words: int = 0
    inside: bool = False
    """Whether the text so far ends inside a word."""

    def add(self, text: str, time: Fraction | None) -> None:
        if not text:
            return
        goes_on = self.inside and not text[0].isspace()
        if time is not None and not goes_on:  # a stamp inside a word is that of a syllable
            self.stamps.append((self.words, time))
        self.texts.append(text)
        self.words += len(text.split()) - goes_on
        self.inside = not text[-1].isspace()


def unroll(payloads: Iterable[Payload]) -> tuple[Cue, ...]:
    cues: list[Cue] = []
    before: Payload | None = None
    for payload in payloads:
        repeated = _repeated_lines(before, payload)
        if repeated and repeated == len(payload.lines):
            last = cues[-1]
            if last.end is not None and payload.end is not None:
                cues[-1] = replace(last, end=max(last.end, payload.end))
        else:
            cues.extend(_cues(payload, payload.lines[repeated:]))
        before = payload
    return tuple(cues)


def _repeated_lines(before: Payload | None, payload: Payload) -> int:
    if before is None or before.end is None or not before.start <= payload.start <= before.end:
        return 0
    longest = min(len(before.lines), len(payload.lines), ROLLED_LINES)
    for count in range(longest, 0, -1):
        shown = [line.runs for line in before.lines[-count:]]
        if shown == [line.runs for line in payload.lines[:count]]:
            return count
    return 0


def _cues(payload: Payload, lines: Sequence[TextLine]) -> list[Cue]:
    if not lines:
        return [Cue(payload.start, payload.end, "", payload.timing_line, None, payload.ident)]
    cues = []
    said = (
        (speaker, text, line.number, stamps)
        for line in lines
        for (speaker, text), stamps in zip(line.runs, line.stamps, strict=True)
    )
    for speaker, turn in groupby(said, key=itemgetter(0)):
        _, texts, numbers, stamps = zip(*turn, strict=True)
        before = (0, *accumulate(len(text.split()) for text in texts))
        times = tuple((ahead + word, time) for ahead, each in zip(before, stamps, strict=False) for word, time in each)
        cues.append(Cue(payload.start, payload.end, " ".join(texts), numbers[0], speaker, payload.ident, times))
    return cues
