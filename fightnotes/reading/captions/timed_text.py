"""Read timed text: plain paragraphs that open with a stamp in square brackets.

    [0:12] Corvale creeps the lead foot forward.
    [1:05.5-1:09] MK: a longer step now,
    and the hand behind it.

A stamp is m:ss (minutes may pass 59) or h:mm:ss, with a decimal part if wanted; a range takes a hyphen, an en
dash or "to". It counts at the start of a line only; its text lasts until the next stamp, across empty lines.
Text before the first stamp is kept without a time, one piece a paragraph. A stamp that cannot be read is
reported, and the words behind it stay with the text before. A speaker is a name or initials all in capitals,
with a colon (`MK:`); other openings with a colon ("Note:") are text.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from fractions import Fraction

from fightnotes.reading.excerpt import excerpt

from .cue import CaptionFile, Cue, Fault, caption_lines, plain
from .stamps import seconds

_STAMP = re.compile(
    r"(?:(?P<h>[0-9]{1,9}):(?=[0-9]{2}:))?(?P<m>[0-9]{1,9}):(?P<s>[0-5][0-9])(?:\.(?P<frac>[0-9]{1,9}))?"
)
_OPENING = re.compile(r"[ \t]*\[(?P<inside>[ \t]*[0-9]+[ \t]*:[0-9:;.,\-\u2013\u2014 \tto]*)\]")
_UNCLOSED = re.compile(r"[ \t]*\[(?P<inside>[0-9]+:[0-9]{2})(?![^\]]*\])")
_RANGE = re.compile(r"[ \t]*(?:[-\u2013\u2014]|\bto\b)[ \t]*")
_SPEAKER = re.compile(r"([^\W\d_]{2,20}(?:[ -][^\W\d_]{2,20}){0,2}):[ \t]+(?=\S)")
_WANTED = "a stamp [m:ss] or [h:mm:ss], or a range of two"


@dataclass
class _Open:
    """A cue, or with no start a piece of untimed text, that still gathers its lines."""

    start: Fraction | None
    end: Fraction | None
    line: int
    texts: list[str] = field(default_factory=list)


def read_timed_text(text: str) -> CaptionFile:
    """Cues, faults and untimed text of a timed-text file. Never raises."""
    pieces: list[_Open] = []
    faults: list[Fault] = []
    stamped = False
    for number, line in enumerate(caption_lines(text), 1):
        opening = _OPENING.match(line)
        words = plain(line)
        if opening:
            words = plain(line[opening.end() :])
            times = _read_times(opening["inside"], number, opening.start("inside") + 1, faults)
            if times:
                pieces.append(_Open(*times, number))
                stamped = True
        else:
            unclosed = _UNCLOSED.match(line)
            if unclosed:
                column = unclosed.start("inside")
                faults.append(Fault(number, column, excerpt(line[column - 1 :]), _WANTED))
        if not words:
            if not stamped:
                pieces.append(_Open(None, None, number))
            continue
        if not pieces:
            pieces.append(_Open(None, None, number))
        if not pieces[-1].texts:
            pieces[-1].line = number
        pieces[-1].texts.append(words)

    cues = tuple(_cue(piece, piece.start) for piece in pieces if piece.start is not None)
    untimed = tuple((piece.line, " ".join(piece.texts)) for piece in pieces if piece.start is None and piece.texts)
    return CaptionFile(cues, tuple(faults), untimed)


def _read_times(inside: str, number: int, column: int, faults: list[Fault]) -> tuple[Fraction, Fraction | None] | None:
    """Start and end of what stands in brackets at `column`; None, with a fault, where it is no stamp."""
    first, *rest = _RANGE.split(inside, maxsplit=1)
    start = _STAMP.fullmatch(plain(first))
    if not start or not _in_clock(start):
        faults.append(Fault(number, column - 1, excerpt(f"[{inside}]"), _WANTED))
        return None
    if not rest:
        return seconds(start), None
    end_column = column + len(inside) - len(rest[0])
    end = _STAMP.fullmatch(plain(rest[0]))
    if not end or not _in_clock(end):
        faults.append(Fault(number, end_column, excerpt(rest[0]), "an end m:ss or h:mm:ss"))
        return seconds(start), None
    if seconds(end) <= seconds(start):
        expected = f"an end later than the start {plain(first)}"
        faults.append(Fault(number, end_column, excerpt(rest[0]), expected, "impossible-time"))
        return seconds(start), None
    return seconds(start), seconds(end)


def _in_clock(stamp: re.Match[str]) -> bool:
    return stamp["h"] is None or int(stamp["m"]) < 60


def _cue(piece: _Open, start: Fraction) -> Cue:
    text = " ".join(piece.texts)
    label = _SPEAKER.match(text)
    speaker = label[1] if label and label[1].isupper() else None
    if label and speaker:
        text = text[label.end() :]
    return Cue(start, piece.end, text, piece.line, speaker, None)
