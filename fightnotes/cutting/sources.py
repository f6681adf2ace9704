"""What a cut is cut from, as lists of cuts name it."""

from __future__ import annotations

import re
from collections.abc import Sequence
from pathlib import PurePath

from anyascii import anyascii

from fightnotes.cutting.cuts import one_line
from fightnotes.cutting.media import Media

_REEL_LENGTH = 8
_RESERVED = frozenset({"BL", "AX"})
"""Black and auxiliary: reel names with a meaning of their own."""


def channels_of(at_hand: Media | None) -> str:
    """Picture and two channels of sound, or picture alone where the file is known to be silent; as CMX 3600 says it."""
    return "V" if at_hand and not at_hand.has_sound else "AA/V"


def reel_names(sources: Sequence[str]) -> dict[str, str]:
    """A reel name for each source: 1 to 8 of A-Z and 0-9, made of the file's name, no two alike."""
    names: dict[str, str] = {}
    for source in dict.fromkeys(sources):
        stem = re.sub(r"[^A-Z0-9]", "", ascii_line(PurePath(source).stem).upper()) or "REEL"
        name, number = stem[:_REEL_LENGTH], 1
        while name in _RESERVED or name in names.values():
            number += 1
            name = f"{stem[: _REEL_LENGTH - len(str(number))]}{number}"
        names[source] = name
    return names


def ascii_line(text: str) -> str:
    """On one line, with letters beyond ASCII spelt in it, as `anyascii` does for all scripts."""
    return one_line(anyascii(one_line(text)))
