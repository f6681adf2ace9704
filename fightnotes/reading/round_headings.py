"""Headings that name a round: Markdown's, and plain lines that say nothing else (`ROUND 2`, `--- Rd 3 ---`)."""

from __future__ import annotations

import re
from dataclasses import dataclass

from fightnotes.clock import RoundMark, names_rounds, narrow, read_round_mark

_FRAME = re.compile(r"[\s*_=~–—>•·|()\[\]`-]*(?:#{1,6}(?=(?:round|rnd|rd)\b))?[*_]*", re.IGNORECASE)
_NOTHING_MORE = re.compile(
    r"(?:\s*of\s*[0-9]{1,3})?(?:\s*\(?cont(?:inued|'d|\.)?\)?)?[\s*_=~–—:.!?|()\[\]`#-]*", re.IGNORECASE
)
_TITLE_FOLLOWS = re.compile(r"[*_\])]*(?:\s*[:;.]|\s+[-–—]|,)(?=[\s*_])[*_]*")


@dataclass(frozen=True)
class RoundLine:
    """A line that begins with a round and has no clock."""

    number: int | None
    """None where it names several."""
    title: str
    alone: bool
    """Whether it says nothing else, as a heading does."""
    begins_section: bool
    """Whether what follows stands below it: it is alone, or sets the round apart, as in `Round 2: she adjusts`."""


def round_of_title(title: str) -> int | None:
    """The round that a heading's text begins with, where it names one and not several."""
    mark = _mark_of(title)
    return None if mark is None or names_rounds(narrow(title), mark.begin) else mark.number


def is_spelt_round(title: str) -> bool:
    """Whether a heading names its round in another form than `R4`, so that a time behind it is no note's."""
    mark = _mark_of(title)
    return mark is not None and not mark.letter


def read_round_line(text: str) -> RoundLine | None:
    """The round that a plain line begins with; None where it begins otherwise, or names none that a bout can have."""
    plain = narrow(text)
    frame = _FRAME.match(plain)
    assert frame is not None  # it matches nothing, too
    if names_rounds(plain, frame.end()):
        return RoundLine(None, "", alone=False, begins_section=False)
    mark = read_round_mark(plain, frame.end())
    if mark is None or not 1 <= mark.number <= 999 or re.match(r":?[0-9]", plain[mark.stop : mark.stop + 2]):
        return None
    rest = _NOTHING_MORE.match(plain, mark.stop)
    alone = rest is not None and rest.end() == len(plain)
    if not alone and not mark.alone:
        return None
    follows = alone or _TITLE_FOLLOWS.match(plain, mark.stop) is not None
    return RoundLine(mark.number, text[mark.begin : mark.stop], alone, follows)


def _mark_of(text: str) -> RoundMark | None:
    plain = narrow(text)
    frame = _FRAME.match(plain)
    mark = read_round_mark(plain, frame.end() if frame else 0)
    return mark if mark is not None and mark.alone and 1 <= mark.number <= 999 else None
