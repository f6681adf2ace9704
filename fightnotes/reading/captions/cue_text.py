"""The text of a WebVTT cue: markup off, character references decoded, speakers found.

Follows the cue text tokenizer and parsing rules of W3C WebVTT ("WebVTT cue text parsing rules"), with one
tolerance: a `<` that no `>` closes, or that white space follows, is reported and kept as text, where the
standard would drop the words after it. Stamps before words tell when these begin. The text of ruby and of its gloss
(rt) stays, in the order written.
"""

from __future__ import annotations

import html
import re
from collections.abc import Sequence
from fractions import Fraction

from fightnotes.reading.excerpt import excerpt

from .cue import SPACES, Fault, plain
from .rolling import RawRun, TextLine, text_line
from .stamps import seconds

_WANTED = 'a tag closed by ">", or "&lt;" for the sign itself'
_PIECE = re.compile(rf"<(?P<tag>(?![{SPACES}])[^>]*)>|[^<]+|<")
_STAMP = re.compile(r"(?:(?P<h>[0-9]{2,9}):)?(?P<m>[0-5][0-9]):(?P<s>[0-5][0-9])\.(?P<frac>[0-9]{3})")
_SPACE = re.compile(f"[{SPACES}]")
_ELEMENTS = frozenset({"c", "i", "b", "u", "ruby", "v", "lang"})
# html.unescape raises on numbers of thousands of digits; U+10FFFF has seven, and beyond it HTML gives U+FFFD.
_LEADING_ZEROS = re.compile(r"&#0+(?=[0-9])")
_PAST_UNICODE = re.compile(r"&#[1-9][0-9]{7,};?")


class _Elements:
    """The elements that are open, innermost last, each with the voice that speaks inside it."""

    def __init__(self) -> None:
        self._open: list[tuple[str, str | None]] = []

    @property
    def speaker(self) -> str | None:
        return self._open[-1][1] if self._open else None

    def start(self, tag: str) -> None:
        name_and_classes, *annotation = _SPACE.split(tag, maxsplit=1)
        name = name_and_classes.split(".")[0]
        if name == "v":
            self._open.append((name, plain(decode("".join(annotation))) or None))
        elif name in _ELEMENTS or (name == "rt" and self._innermost == "ruby"):
            self._open.append((name, self.speaker))

    def end(self, name: str) -> None:
        if name == "ruby" and self._innermost == "rt":
            del self._open[-2:]
        elif name and name == self._innermost:
            self._open.pop()

    @property
    def _innermost(self) -> str:
        return self._open[-1][0] if self._open else ""


def read_cue_text(lines: Sequence[str], first: int) -> tuple[tuple[TextLine, ...], tuple[Fault, ...]]:
    """The lines of a payload that have text; `first` is the 1-based place of lines[0]."""
    payload = "\n".join(lines)
    # Past the last ">" nothing is a tag; knowing it keeps a row of "<" from being searched over and over.
    last_close = payload.rfind(">")
    faults: list[Fault] = []
    elements = _Elements()
    rows: dict[int, list[RawRun]] = {}
    stamp: Fraction | None = None
    number, line_start, at = first, 0, 0
    while at < len(payload):
        piece = _PIECE.match(payload, at) if at < last_close else None
        raw, tag = (piece[0], piece["tag"]) if piece else (payload[at:], None)
        if tag is None:
            opening = raw.find("<")
            if opening >= 0:
                row, row_start = _after(raw[:opening], at, number, line_start)
                found = excerpt(raw[opening:].split("\n")[0])
                faults.append(Fault(row, at + opening - row_start + 1, found, _WANTED))
            for step, text in enumerate(raw.split("\n")):
                rows.setdefault(number + step, []).append((elements.speaker, decode(text), stamp))
                stamp = None if text else stamp
        elif tag.startswith("/"):
            elements.end(tag[1:])
        elif timed := _STAMP.fullmatch(tag):
            stamp = seconds(timed)
        else:
            elements.start(tag)
        number, line_start = _after(raw, at, number, line_start)
        at += len(raw)
    read = (text_line(row, runs) for row, runs in rows.items())
    return tuple(line for line in read if line), tuple(faults)


def _after(raw: str, at: int, number: int, line_start: int) -> tuple[int, int]:
    """Line number, and offset where that line begins, behind `raw`, which stands at offset `at`."""
    newline = raw.rfind("\n")
    return (number, line_start) if newline < 0 else (number + raw.count("\n"), at + newline + 1)


def decode(text: str) -> str:
    """Text with HTML character references replaced (HTML, named character references)."""
    return html.unescape(_PAST_UNICODE.sub("\ufffd", _LEADING_ZEROS.sub("&#", text)))
