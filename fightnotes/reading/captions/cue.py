"""What reading a caption file gives, whatever its format."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction

from fightnotes.errors import ProblemKind
from fightnotes.reading.text_file import split_lines

SPACES = " \t\f\n\r"
"""The white space of the caption formats: ASCII only, so that a no-break space stays in the text."""

_SPACE_RUN = re.compile(f"[{SPACES}]+")


Stamps = tuple[tuple[int, Fraction], ...]
"""(number of a word in its text, from 0; seconds at which it begins)."""


@dataclass(frozen=True)
class Cue:
    """One timed piece of text, spoken by one voice."""

    start: Fraction
    """Seconds from the start of the recording."""
    end: Fraction | None
    """Seconds; None where the file gives no end, or one that cannot be used."""
    text: str
    """Plain text on one line, without markup."""
    line: int
    """1-based line of the first text; of the timing line where there is no text."""
    speaker: str | None
    ident: str | None
    """The identifier (WebVTT) or number (SubRip) as written."""
    stamps: Stamps = ()
    """Of words with a stamp of their own, as automatic captions have them; as written, so perhaps outside the cue."""


@dataclass(frozen=True)
class Fault:
    """One thing wrong in the file. Reading went on after it."""

    line: int
    """1-based."""
    column: int
    """1-based, in characters; a byte order mark does not count."""
    found: str
    """A quoted excerpt, or "nothing"."""
    expected: str
    kind: ProblemKind = "unreadable"


@dataclass(frozen=True)
class CaptionFile:
    cues: tuple[Cue, ...]
    """In the order of the file."""
    faults: tuple[Fault, ...]
    """In the order of their places."""
    untimed: tuple[tuple[int, str], ...] = ()
    """(1-based line, text) of words that have no time: before the first stamp of timed text, or under a
    timing line that cannot be read."""


def caption_lines(text: str) -> list[str]:
    """The lines without a byte order mark, NUL replaced by U+FFFD."""
    return split_lines(text.removeprefix("\ufeff").replace("\0", "\ufffd"))


def plain(text: str) -> str:
    """Text with each run of ASCII white space as one space, and none at its ends."""
    return _SPACE_RUN.sub(" ", text).strip(" ")
