"""Read WebVTT (W3C WebVTT: The Web Video Text Tracks Format) and keep whatever can be kept of a broken file.

Own reader: the caption libraries drop what is broken without saying where; they check it in the tests.

The blocks are those of the standard's parser ("WebVTT parser algorithm", "collect a WebVTT block"). Beyond
it, with a fault each time: a file without the WEBVTT line is read; a time that breaks the grammar but has one
meaning is used; a cue whose end is not after its start stays, without an end (the standard's parser keeps
such an end); the words of a cue without a readable start, and of a block that is no cue, NOTE, STYLE or
REGION block, become untimed text. Cue settings, regions, styles and notes are not read.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field

from fightnotes.reading.excerpt import excerpt

from .cue import CaptionFile, Fault, caption_lines
from .cue_text import read_cue_text
from .rolling import Payload, unroll
from .stamps import ARROW, StampForm, read_timing

_HEADER = re.compile(r"WEBVTT(?:[ \t].*)?")
_NOTE = re.compile(r"NOTE(?:[ \t].*)?")
_STYLE_OR_REGION = re.compile(r"(?:STYLE|REGION)[ \t\f]*")
_FORM = StampForm(
    re.compile(r"(?:(?P<h>[0-9]{1,9}):)?(?P<m>[0-5][0-9]):(?P<s>[0-5][0-9])\.(?P<frac>[0-9]{3})(?![0-9])"),
    "time hh:mm:ss.mmm or mm:ss.mmm",
)


@dataclass
class _Reading:
    payloads: list[Payload] = field(default_factory=list)
    faults: list[Fault] = field(default_factory=list)
    untimed: list[tuple[int, str]] = field(default_factory=list)


def read_webvtt(text: str) -> CaptionFile:
    """Cues, faults and untimed text of a WebVTT file. Never raises."""
    lines = caption_lines(text)
    reading = _Reading()
    at = _skip_header(lines, reading)
    while at < len(lines):
        if lines[at] == "":
            at += 1
            continue
        timing, last = _block_at(lines, at)
        if timing is None:
            _read_other(lines, at, last, reading)
        else:
            _read_cue(lines, at, timing, last, reading)
        at = last
        if at < len(lines) and lines[at] != "":
            reading.faults.append(Fault(at + 1, 1, excerpt(lines[at]), "an empty line before this one"))
    faults = sorted(reading.faults, key=lambda fault: (fault.line, fault.column))
    return CaptionFile(unroll(reading.payloads), tuple(faults), tuple(reading.untimed))


def _skip_header(lines: Sequence[str], reading: _Reading) -> int:
    """Index of the first line behind the header, which ends at an empty line or at one with an arrow."""
    at = 1
    if not _HEADER.fullmatch(lines[0]):
        reading.faults.append(Fault(1, 1, excerpt(lines[0]), "WEBVTT, alone or with a space and text after it"))
        if not lines[0].upper().startswith("WEBVTT"):
            return 0
    while at < len(lines) and lines[at] != "" and ARROW not in lines[at]:
        at += 1
    return at


def _block_at(lines: Sequence[str], first: int) -> tuple[int | None, int]:
    """Of the block that begins at a line that is not empty: its timing line, and the line behind its last.

    A line with an arrow is the timing line if it is the block's first, or second behind an identifier;
    further on it ends the block, and begins the next.
    """
    timing = None
    if ARROW in lines[first]:
        timing = first
    elif first + 1 < len(lines) and ARROW in lines[first + 1]:
        timing = first + 1
    last = first + 1 if timing is None else timing + 1
    while last < len(lines) and lines[last] != "" and ARROW not in lines[last]:
        last += 1
    return timing, last


def _read_cue(lines: Sequence[str], first: int, timing_at: int, last: int, reading: _Reading) -> None:
    timing = read_timing(lines[timing_at], timing_at + 1, _FORM)
    body, faults = read_cue_text(lines[timing_at + 1 : last], timing_at + 2)
    reading.faults += [*timing.faults, *faults]
    if timing.start is None:
        _keep_untimed(lines, timing_at + 1, last, reading)
        return
    ident = lines[first] if first < timing_at else None
    reading.payloads.append(Payload(timing.start, timing.end, ident, timing_at + 1, body))


def _read_other(lines: Sequence[str], first: int, last: int, reading: _Reading) -> None:
    """A block without a timing line."""
    opening = lines[first]
    if _NOTE.fullmatch(opening):
        return
    if _STYLE_OR_REGION.fullmatch(opening):
        if reading.payloads:
            reading.faults.append(Fault(first + 1, 1, excerpt(opening), "this block before the first cue"))
        return
    reading.faults.append(Fault(first + 1, 1, excerpt(opening), f"a timing line, start {ARROW} end"))
    _keep_untimed(lines, first, last, reading)


def _keep_untimed(lines: Sequence[str], first: int, last: int, reading: _Reading) -> None:
    body, _ = read_cue_text(lines[first:last], first + 1)
    words = " ".join(text for line in body for _, text in line.runs)
    if words:
        reading.untimed.append((body[0].number, words))
