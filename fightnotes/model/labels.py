"""How names and labels are compared: without case, Latin accents, or the difference of hyphen and space."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable

from fightnotes.errors import UnknownName

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


def unknown_name(what: str, written: str, known: Iterable[str]) -> UnknownName:
    """The error for a name that the library does not know, with the nearest that it does."""
    from rapidfuzz import process  # only an error needs it

    near = [match[0] for match in process.extract(fold(written), list(known), limit=3, score_cutoff=60)]
    hint = f"; near it: {', '.join(dict.fromkeys(near))}" if near else ""
    return UnknownName(f"the library knows no {what} '{written}'{hint}")
