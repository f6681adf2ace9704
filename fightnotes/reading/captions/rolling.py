"""Payloads to cues: lines that rolling captions repeat are taken once, and each voice gets its own cue.

Automatic captions roll: every cue shows the line before once more, above the new one. Lines at the top of
a cue that equal, with their speaker, the last lines of the payload before it are dropped where the two cues
touch or overlap. A cue that only repeats is dropped, and the cue before it lasts until its end: words said
twice in two touching cues, with nothing between, are therefore kept once.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import groupby
from operator import itemgetter

from .cue import Cue, plain

ROLLED_LINES = 4
"""How many lines a roll may repeat: roll-up captions show two to four rows (CEA-608, from memory)."""


@dataclass(frozen=True)
class TextLine:
    """One line of a payload that has text."""

    number: int
    """1-based line in the file."""
    runs: tuple[tuple[str | None, str], ...]
    """(speaker, plain text); neighbours differ in speaker."""


@dataclass(frozen=True)
class Payload:
    """A cue as the file has it, markup taken off."""

    start: Fraction
    end: Fraction | None
    ident: str | None
    timing_line: int
    lines: tuple[TextLine, ...]


def text_line(number: int, runs: Iterable[tuple[str | None, str]]) -> TextLine | None:
    """A line of plain text from its runs of raw text; None where nothing but white space is left."""
    joined: list[tuple[str | None, list[str]]] = []
    for speaker, text in runs:
        if joined and (joined[-1][0] == speaker or not plain(text)):
            joined[-1][1].append(text)
        else:
            joined.append((speaker, [text]))
    texts = [(speaker, plain("".join(parts))) for speaker, parts in joined]
    kept = tuple((speaker, text) for speaker, text in texts if text)
    return TextLine(number, kept) if kept else None


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
    said = ((speaker, text, line.number) for line in lines for speaker, text in line.runs)
    for speaker, turn in groupby(said, key=itemgetter(0)):
        _, texts, numbers = zip(*turn, strict=True)
        cues.append(Cue(payload.start, payload.end, " ".join(texts), numbers[0], speaker, payload.ident))
    return cues
