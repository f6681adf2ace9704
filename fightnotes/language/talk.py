"""Talk: the words that somebody says on a recording, each with its time."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction


@dataclass(frozen=True, slots=True)
class SpokenWord:
    """One word of a talk; or the words that stand for what a speech recogniser misheard, which belong together."""

    text: str
    """With the marks that stand at it."""
    start: Fraction
    end: Fraction
    """Seconds on the recording, by the share of the cue's letters that stands before the word."""
    line: int
    """Of the cue, from 1."""
    speaker: str | None = None
    end_guessed: bool = False
    """Whether its cue has no end, so that the rate of speech tells the word's time."""
    heard: str | None = None
    """What stands in the file, where `text` is what was meant."""
    score: float = 1.0
    """How surely that is meant, 0 to 1."""
