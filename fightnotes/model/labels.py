"""How names and labels are compared: without case, Latin accents, or the difference of hyphen and space."""

from __future__ import annotations

import re
import unicodedata

_GAP = re.compile(r"[\s\-‐-―_]+")


def fold(text: str) -> str:
    """The form in which two labels are compared.

    Accents are taken off Latin letters only: in other scripts a mark makes another letter.
    """
    if text.isascii():  # the common case, a hundred times faster
        return _GAP.sub(" ", text).strip().casefold()
    kept: list[str] = []
    base = ""
    for char in unicodedata.normalize("NFD", text):
        if unicodedata.combining(char):
            if base.startswith("LATIN"):
                continue
        else:
            base = unicodedata.name(char, "")
        kept.append(char)
    return _GAP.sub(" ", unicodedata.normalize("NFC", "".join(kept))).strip().casefold()


def as_tag(label: str) -> str:
    """The label as it is written behind `#`, with hyphens for spaces."""
    return _GAP.sub("-", label.strip())
