"""What a query answers with."""

from __future__ import annotations

import datetime
from fractions import Fraction
from typing import Any
from urllib.parse import quote

from fightnotes.clock import format_media_time
from fightnotes.model import FOOTAGE, Bout, Kind, Pairing, Period, Record, Recording, Segment
from fightnotes.reading.placing import show_clock


class Why(Record):
    """Why a moment was found."""

    words: tuple[str, ...] = ()
    """Words of the moment, or of its tags' labels, that the query's words met."""
    concepts: tuple[str, ...] = ()
    """Its tags that the query names, or comes near to in meaning, with how."""
    meaning: float | None = None
    """Cosine of the query's and the moment's vectors, -1 to 1; None where nothing was asked but by filters."""
    denies: tuple[str, ...] = ()
    """What the moment denies, as the query does: its words, and outcomes."""
    undone: tuple[str, ...] = ()
    """Words of the moment that say what was not done, or only meant, where that goes against the query."""

    def __str__(self) -> str:
        parts = [f"words {', '.join(self.words)}"] if self.words else []
        parts.extend(self.concepts)
        if self.meaning is not None:
            parts.append(f"meaning {self.meaning:.2f}")
        parts.extend(f"denies {words if words.startswith('outcome:') else f'“{words}”'}" for words in self.denies)
        parts.extend(f"but: “{words}”" for words in self.undone)
        return "; ".join(parts)


class Place(Record):
    """Another note of the same moment."""

    file: str
    line: int
    analyst: str | None


class Hit(Record):
    bout: str
    title: str
    date: datetime.date | None
    file: str
    line: int
    kind: Kind
    timed_on: str
    start: Fraction | None
    end: Fraction | None
    """Seconds of the recording `timed_on`."""
    footage_start: Fraction | None
    footage_end: Fraction | None
    round: int | None
    round_clock: str | None
    period: Period | None
    bell_inferred: bool
    pairing: Pairing
    text: str
    tags: tuple[str, ...]
    by: tuple[str, ...]
    on: tuple[str, ...]
    outcome: tuple[str, ...]
    target: tuple[str, ...]
    analyst: str | None
    score: float
    """0 to 1; comparable within one answer."""
    why: Why
    link: str | None
    """To the moment in its recording, with a temporal media fragment."""
    same_moment: tuple[Place, ...] = ()

    @property
    def media_time(self) -> str | None:
        """In and out on the recording, as text."""
        return show_clock(_rounded(self.start), _rounded(self.end))

    @property
    def recording(self) -> str | None:
        """The recording that its times count on, where that is not the footage."""
        return None if self.timed_on == FOOTAGE else self.timed_on

    @property
    def where_in_bout(self) -> str:
        """Round and round clock, or what part of the bout lies there instead."""
        if self.period == "before":
            return "before the first bell"
        number = f"R{self.round}" if self.round else ""
        if self.period == "rest":
            return f"rest after {number}"
        if self.period == "after":
            return f"after {number}, the last"
        inferred = " (bell inferred)" if self.bell_inferred else ""
        return f"{number} {self.round_clock or ''}".strip() + inferred

    def as_json(self) -> dict[str, Any]:
        """Plain values: times as seconds, dates as ISO 8601."""
        plain = self.model_dump(mode="json")
        for key in ("start", "end", "footage_start", "footage_end"):
            value = getattr(self, key)
            plain[key] = None if value is None else round(float(value), 6)
        return plain


def hit_of(segment: Segment, bout: Bout, score: float, why: Why) -> Hit:
    acts = [tag.own for tag in segment.tags]
    fields = segment.fields
    return Hit(
        bout=bout.id,
        title=bout.title,
        date=bout.date,
        file=segment.file,
        line=segment.line,
        kind=segment.kind,
        timed_on=segment.timed_on,
        start=segment.start,
        end=segment.end,
        footage_start=segment.footage_start,
        footage_end=segment.footage_end,
        round=segment.round,
        round_clock=show_clock(_rounded(segment.clock_start), _rounded(segment.clock_end)),
        period=segment.period,
        bell_inferred=segment.bell_inferred,
        pairing=segment.pairing,
        text=segment.text,
        tags=tuple(dict.fromkeys(tag.name for tag in segment.tags)),
        by=_all(fields.by, (own.by for own in acts)),
        on=_all(fields.on, (own.on for own in acts)),
        outcome=_all(fields.outcome, (own.outcome for own in acts)),
        target=_all(fields.target, (own.target for own in acts)),
        analyst=segment.analyst,
        score=round(score, 6),
        why=why,
        link=media_link(bout.recordings.get(segment.timed_on), segment.start, segment.end),
    )


def media_link(recording: Recording | None, start: Fraction | None, end: Fraction | None) -> str | None:
    """`file.mp4#t=10,20`: W3C Media Fragments URI 1.0 (basic), 4.2.1, in normal play time seconds.

    A moment that ends where it begins has a link with its begin alone: a fragment's end must be the later one.
    """
    if recording is None or recording.file is None or start is None:
        return None
    begin, stop = _npt(start), _npt(max(start, end or start))
    return f"{quote(recording.file)}#t={begin}" + (f",{stop}" if stop != begin else "")


def _npt(seconds: Fraction) -> str:
    """To a millisecond, without an exponent and without zeros that say nothing."""
    return f"{float(seconds):.3f}".rstrip("0").rstrip(".")


def _rounded(seconds: Fraction | None) -> Fraction | None:
    """To a hundredth: what a person reads; the exact time stays in `start` and `end`."""
    return None if seconds is None else Fraction(round(seconds * 100), 100)


def _all(first: tuple[str, ...], others: Any) -> tuple[str, ...]:
    return tuple(dict.fromkeys((*first, *(value for values in others for value in values))))


def timestamp_line(hit: Hit) -> str:
    """`m:ss text`, as pasted under a video; a moment without media time begins with its round clock."""
    moment = format_media_time(hit.start, 0) if hit.start is not None else hit.where_in_bout or "untimed"
    return f"{moment} {' '.join(hit.text.split())}"
