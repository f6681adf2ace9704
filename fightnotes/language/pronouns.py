"""Pronouns and the like that stand for a fighter: he, him, his left hand, the other man."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from fightnotes.language import in_notes
from fightnotes.language.small_letters import lowered, small_pattern
from fightnotes.language.words import is_content

Case = Literal["subject", "object", "owner", "other"]
"""Who does it; whom it is done to; whose it is; the opponent of who was spoken of."""
_PRONOUNS = small_pattern(in_notes.PRONOUNS.pattern)
_WORD_BEHIND = re.compile(r"\s+(\w+)")


@dataclass(frozen=True)
class Pronoun:
    """`text[begin:stop]`"""

    case: Case
    begin: int
    stop: int


def pronouns_of(text: str) -> Iterator[Pronoun]:
    """In order of place. One that may be either ("her") is whose it is before a noun, else whom it is done to."""
    for match in _PRONOUNS.finditer(lowered(text)):
        if match["other"]:
            yield Pronoun("other", *match.span())
        elif match["subject"]:
            yield Pronoun("subject", *match.span())
        elif match["object"] or not _noun_behind(text, match.end()):
            yield Pronoun("object", *match.span())
        else:
            yield Pronoun("owner", *match.span())


def _noun_behind(text: str, stop: int) -> bool:
    behind = _WORD_BEHIND.match(text, stop)
    return behind is not None and is_content(behind[1]) and behind[1].casefold() not in in_notes.BEHIND_OBJECTS
