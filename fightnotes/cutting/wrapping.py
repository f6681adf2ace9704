"""Text broken into lines that fit a width, without knowing the font.

A letter is taken to be half as wide as its line is high, a capital or an East Asian wide sign (Unicode Standard Annex
11) as wide as that: common practice, no source; it is wide enough for DejaVu Sans, and what is wider still is broken
again at a space by whoever draws it.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator
from math import ceil

_LINES = 4
_LETTERS = 120
"""That there is always room for: on a picture that stands upright, lines are short."""


def columns_in(width: int, size: int) -> int:
    """How many letters stand in `width` pixels where a line is `size` pixels high."""
    return max(2, width * 2 // size)


def most_lines(columns: int) -> int:
    """Four, or as many as 120 letters take."""
    return max(_LINES, ceil(_LETTERS / columns))


def wrapped(text: str, columns: int) -> tuple[str, ...]:
    """At most `most_lines`, broken at spaces, and inside a word that is longer than a line; the last one ends in `…`
    where there is more."""
    most = most_lines(columns)
    lines: list[str] = []
    for word in text.split():
        joined = f"{lines[-1]} {word}" if lines else word
        if lines and _columns(joined) <= columns:
            lines[-1] = joined
        else:
            lines += _pieces(word, columns)
    if len(lines) <= most:
        return tuple(lines)
    last = lines[most - 1]
    while _columns(last) >= columns:
        last = last[:-1]
    return *lines[: most - 1], f"{last.rstrip()}…"


def _pieces(word: str, columns: int) -> Iterator[str]:
    """The word in pieces of a line at most; a sign that joins the one before it stays with it."""
    piece = ""
    for sign in word:
        if piece and not unicodedata.combining(sign) and _columns(piece + sign) > columns:
            yield piece
            piece = ""
        piece += sign
    yield piece


def _columns(text: str) -> int:
    return sum(_width(sign) for sign in text)


def _width(sign: str) -> int:
    if unicodedata.combining(sign) or unicodedata.category(sign) == "Cf":
        return 0
    return 2 if sign.isupper() or unicodedata.east_asian_width(sign) in "WF" else 1
