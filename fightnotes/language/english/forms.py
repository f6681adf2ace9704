"""How lists and patterns of words are written."""

from __future__ import annotations

import re


def words(text: str) -> tuple[str, ...]:
    return tuple(text.split())


def any_of(text: str) -> str:
    """Pattern of the words of a text, one of which has to stand there."""
    return rf"\b(?:{'|'.join(text.split())})\b"


def behind_a_name(*verbs: str) -> re.Pattern[str]:
    """Pattern of verbs, or their beginnings, as they stand right behind a name."""
    lead = r"(?:\w+ly |only |just |half-?|never |not |no longer |still )*"
    return re.compile(rf"\W*{lead}(?:{'|'.join(verbs)})", re.IGNORECASE)
