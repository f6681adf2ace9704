"""Cuts and cut lists: exact frames on a recording, with the moments that they show."""

from __future__ import annotations

from fractions import Fraction
from typing import Literal, Self

from pydantic import model_validator

from fightnotes.clock import Timecode, drop_allowed, format_media_time, seconds_of_frame, timecode_of
from fightnotes.model import Bout, Handles, Moment, Record, Recording

WhyLeftOut = Literal[
    "untimed",
    "outside the footage",
    "outside the round",
    "picked twice",
    "over the target duration",
    "footage not at hand",
]
CAUTIONS = (
    "Film study, not coaching: contact drills belong under a licensed coach, and the rules of the commission in "
    "charge decide what is legal.",
    "Footage belongs to its owner: cutting and publishing it may need a licence; local law decides.",
)
"""What a reader of a cut list must know, shown once in every export that has room for a comment."""


class Candidate(Moment):
    """A moment that may be cut, as a search, a filter or a hand picked it."""

    relevance: float | None = None
    """Higher is better; only the order is used."""
    handles: Handles | None = None
    """For this moment alone; None for the list's."""
    title: str | None = None
    """Title card text; None for bout and round clock."""


class CutMoment(Record):
    """A candidate as a cut shows it."""

    candidate: Candidate
    start: Fraction
    end: Fraction
    """Seconds on the cut's recording, without handles."""


class Cut(Record):
    """One unbroken piece of a recording."""

    bout: Bout
    recording: str
    """Name of the recording in the bout that the frames count on."""
    rate: Fraction
    """Frames a second, exact."""
    start_frame: int
    """First frame shown, counted from 0 at the first frame of the file."""
    end_frame_exclusive: int
    """The frame after the last one shown."""
    moments: tuple[CutMoment, ...]
    """By start; more than one where overlapping or touching cuts were merged."""

    @model_validator(mode="after")
    def _in_order(self) -> Self:
        if not 0 <= self.start_frame < self.end_frame_exclusive:
            raise ValueError(f"frames {self.start_frame} to {self.end_frame_exclusive}")
        if not self.moments:
            raise ValueError("a cut without a moment")
        return self

    @property
    def media(self) -> Recording:
        return self.bout.recordings.get(self.recording, Recording())

    @property
    def drop_frame(self) -> bool:
        return self.media.drop_frame and drop_allowed(self.rate)

    @property
    def frames(self) -> int:
        return self.end_frame_exclusive - self.start_frame

    @property
    def start(self) -> Fraction:
        """Seconds from the first frame of the file."""
        return seconds_of_frame(self.start_frame, self.rate)

    @property
    def end_exclusive(self) -> Fraction:
        return seconds_of_frame(self.end_frame_exclusive, self.rate)

    @property
    def duration(self) -> Fraction:
        return self.end_exclusive - self.start

    @property
    def start_timecode(self) -> Timecode:
        """In the media's own timecode."""
        return timecode_of(self.media.first_frame + self.start_frame, self.rate, self.drop_frame)

    @property
    def end_timecode_exclusive(self) -> Timecode:
        return timecode_of(self.media.first_frame + self.end_frame_exclusive, self.rate, self.drop_frame)

    @property
    def relevance(self) -> float | None:
        """That of its best moment."""
        return max((m.candidate.relevance for m in self.moments if m.candidate.relevance is not None), default=None)

    @property
    def title(self) -> str:
        """Title card text, on one line: those given, each once, else the bout and the times of its moments."""
        given = dict.fromkeys(m.candidate.title for m in self.moments if m.candidate.title)
        times = ", ".join(dict.fromkeys(when(moment) for moment in self.moments))
        return one_line(" / ".join(title for title in given if title) or f"{self.bout.title}, {times}")

    @property
    def text(self) -> str:
        """What the notes say of its moments."""
        return " / ".join(one_line(m.candidate.segment.text) for m in self.moments)


class LeftOut(Record):
    """A candidate that no cut shows, or none for its own sake."""

    candidate: Candidate
    why: WhyLeftOut
    detail: str

    @property
    def by_choice(self) -> bool:
        """Whether it could have been cut, and was not wanted: a target or the footage at hand was asked for."""
        return self.why in ("over the target duration", "footage not at hand")

    @property
    def missed(self) -> bool:
        """Whether the list lacks what was picked."""
        return not self.by_choice and self.why != "picked twice"

    def __str__(self) -> str:
        return f"{self.candidate.place}: {self.why}: {self.detail}"

    def as_json(self) -> dict[str, str | int]:
        segment = self.candidate.segment
        return {"file": segment.file, "line": segment.line, "why": self.why, "detail": self.detail}


class CutList(Record):
    cuts: tuple[Cut, ...]
    """In the order in which they play."""
    left_out: tuple[LeftOut, ...] = ()
    notes: tuple[str, ...] = ()
    """What an editor must know of how the cuts were made, a sentence each."""
    title: str = "Cut list"
    handles: Handles = Handles()
    inside_round: bool = False

    @property
    def duration(self) -> Fraction:
        return sum((cut.duration for cut in self.cuts), Fraction(0))

    @property
    def remarks(self) -> tuple[str, ...]:
        """What an export with room for a comment says once: the cautions and the notes, a line each."""
        return tuple(one_line(line) for line in (*CAUTIONS, *self.notes))


def one_line(text: str) -> str:
    return " ".join(text.split())


def when(moment: CutMoment) -> str:
    """The moment's round clock, such as R4 0:05, else its time on the recording; to a tenth of a second, to read."""
    segment = moment.candidate.segment
    if segment.round is not None and segment.clock_start is not None:
        return f"R{segment.round} {_readable(segment.clock_start)}"
    return _readable(moment.start)


def _readable(seconds: Fraction) -> str:
    return format_media_time(Fraction(round(seconds * 10), 10))
