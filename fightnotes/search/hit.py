"""What a query answers with."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from fightnotes.clock import format_media_time
from fightnotes.model import Moment, Record, Segment
from fightnotes.model.moment import plain_seconds
from fightnotes.search.marked import in_pieces


class Why(Record):
    """Why a moment was found."""

    words: tuple[str, ...] = ()
    """Words of the moment, or of its tags' labels, that the query's words met."""
    concepts: tuple[str, ...] = ()
    """Its tags that the query names, or comes near to in meaning, with how."""
    meaning: float | None = None
    """Cosine of the query's and the moment's vectors, -1 to 1; None where nothing was asked but by filters."""
    like: tuple[str, ...] = ()
    """The notes that a search for more like them names, with the cosine of each."""
    denies: tuple[str, ...] = ()
    """What the moment denies, as the query does: its words, and outcomes."""
    undone: tuple[str, ...] = ()
    """Words of the moment that say what was not done, or only meant, where that goes against the query."""

    def __str__(self) -> str:
        parts = [f"words {', '.join(self.words)}"] if self.words else []
        parts.extend(self.concepts)
        if self.meaning is not None:
            parts.append(f"meaning {self.meaning:.2f}")
        parts.extend(f"like {place}" for place in self.like)
        parts.extend(f"denies {words if words.startswith('outcome:') else f'“{words}”'}" for words in self.denies)
        parts.extend(f"but: “{words}”" for words in self.undone)
        return "; ".join(parts)


class PassageSaid(Record):
    """The passage of a long moment that comes nearest to the query."""

    text: str
    line: int | None
    """Of a note, in its file; like the time, by the share of the text that stands before it."""
    start: Fraction | None
    """Seconds on its recording: about that time."""


class Hit(Moment):
    score: float
    """0 to 1; comparable within one answer."""
    why: Why = Why()
    same_moment: tuple[Segment, ...] = ()
    """Other notes of it."""
    said: PassageSaid | None = None
    """None where the moment is short, or nothing was asked but by filters."""

    @property
    def quoted(self) -> str:
        """Its own words, on one line; of a long moment the passage that answers."""
        return super().quoted if self.said is None else f"… {' '.join(self.said.text.split())} …"

    @property
    def quoted_pieces(self) -> tuple[tuple[str, bool], ...]:
        return in_pieces(self.quoted, self.why.words)

    @property
    def said_at(self) -> str:
        """Where in a long moment the passage stands; empty where that is where the moment begins."""
        if self.said is None:
            return ""
        if self.said.line not in (None, self.segment.line):
            return f"line {self.said.line}"
        return "" if self.said.start is None else f"about {format_media_time(self.said.start, 0)}"

    @property
    def shown(self) -> str:
        """What a person is shown: the text on one line, of a long one the passage that answers, with its place."""
        at = f" ({self.said_at})" if self.said_at else ""
        return self.text if self.said is None else f"{self.quoted}{at}"

    def as_json(self) -> dict[str, Any]:
        """The moment's plain values with the score, the reasons and the places of the other notes."""
        twins = [{"file": twin.file, "line": twin.line, "analyst": twin.analyst} for twin in self.same_moment]
        return super().as_json() | {
            "score": self.score,
            "why": self.why.model_dump(mode="json"),
            "same_moment": twins,
            "said": self.said and {**self.said.model_dump(), "start": plain_seconds(self.said.start)},
        }
