"""Cuts and cut lists: exact frames on a recording, with the moments that they show."""

from __future__ import annotations

import unicodedata
from fractions import Fraction
from math import ceil
from typing import Literal, Self

from pydantic import model_validator

from fightnotes.clock import (
    Timecode,
    drop_allowed,
    format_media_time,
    format_timecode,
    frame_at,
    seconds_of_frame,
    timecode_of,
)
from fightnotes.model import Bout, Handles, Moment, Record, Recording
from fightnotes.model.cautions import CAUTIONS

WhyLeftOut = Literal[
    "untimed",
    "outside the footage",
    "outside the round",
    "picked twice",
    "over the target duration",
    "footage not at hand",
]


class Candidate(Moment):
    """A moment that may be cut, as a search, a filter or a hand picked it."""

    relevance: float | None = None
    """Higher is better; only the order is used."""
    handles: Handles | None = None
    """For this moment alone; None for the list's."""
    title: str | None = None
    """Title card text; None for what is done, and when."""
    techniques: tuple[str, ...] = ()
    """The preferred labels of its tags."""


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
    names_bout: bool = False
    """Whether its title says which bout it is of: the list has several."""
    reel: str = ""
    """Name of its source in a list that has room for eight letters, each source of a list with its own."""

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
    def source(self) -> str:
        """The file as the front matter names it, else the bout's id and the recording's name."""
        return self.media.file or f"{self.bout.id}-{self.recording}"

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

    def timecode(self, frame: int) -> str:
        """Of a frame counted from 0 at the first of the file: the media's own."""
        return format_timecode(timecode_of(self.media.first_frame + frame, self.rate, self.drop_frame))

    @property
    def relevance(self) -> float | None:
        """That of its best moment."""
        return max((m.candidate.relevance for m in self.moments if m.candidate.relevance is not None), default=None)

    def frames_of(self, moment: CutMoment) -> tuple[int, int]:
        """The first frame of the cut that shows one of its moments, without handles, and the frame after the last."""
        first = min(max(frame_at(moment.start, self.rate), self.start_frame), self.end_frame_exclusive - 1)
        return first, min(max(ceil(moment.end * self.rate), first + 1), self.end_frame_exclusive)

    @property
    def moment_frames(self) -> tuple[int, int]:
        """The first frame that shows any of its moments, and the frame after the last; the rest are handles."""
        spans = [self.frames_of(moment) for moment in self.moments]
        return min(first for first, _ in spans), max(end for _, end in spans)

    @property
    def handle_frames(self) -> tuple[int, int]:
        """Frames before and after its moments, as far as the footage, or the round, let the handles go."""
        first, end = self.moment_frames
        return first - self.start_frame, self.end_frame_exclusive - end

    @property
    def title(self) -> str:
        """Title card text, on one line: the titles given, each once, else what is done in its moments, and when."""
        given = dict.fromkeys(one_line(moment.candidate.title or "") for moment in self.moments)
        named = dict.fromkeys(self.title_of(moment) for moment in self.moments)
        return " / ".join(filter(None, given)) or " / ".join(named)

    def title_of(self, moment: CutMoment) -> str:
        """The title given to one of its moments, else its techniques and its time, such as `counter jab, R3 1:20`.

        The bout stands between them where the list has several, and in place of techniques where nothing is tagged.
        """
        done = ", ".join(moment.candidate.techniques)
        bout = self.bout.title if self.names_bout or not done else ""
        made = ", ".join(filter(None, (done, bout, when(moment))))
        return one_line(moment.candidate.title or "") or one_line(made)

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
    reel_start: Timecode | None = None
    """Timecode of the reel's first frame, whose mark does not matter: the reel counts as its sources do; None for 0."""

    @property
    def duration(self) -> Fraction:
        return sum((cut.duration for cut in self.cuts), Fraction(0))

    @property
    def remarks(self) -> tuple[str, ...]:
        """What an export with room for a comment says once: the cautions and the notes, a line each."""
        return tuple(one_line(line) for line in (*CAUTIONS, *self.notes))


def one_line(text: str) -> str:
    """The text on one line, without control characters, halves of surrogate pairs and changes of writing direction."""
    return " ".join("".join(sign for sign in text if sign.isspace() or not _harmful(sign)).split())


def _harmful(sign: str) -> bool:
    return unicodedata.category(sign) in ("Cc", "Cs") or unicodedata.bidirectional(sign) in _TURNS


_TURNS = frozenset({"LRE", "RLE", "LRO", "RLO", "PDF", "LRI", "RLI", "FSI", "PDI"})
"""Embeddings, overrides and isolates (Unicode Standard Annex 9, table 4): what follows would be shown backwards."""


def when(moment: CutMoment) -> str:
    """The moment's round clock, such as R4 0:05, else its time on the recording; to a tenth of a second, to read."""
    segment = moment.candidate.segment
    if segment.round is not None and segment.clock_start is not None:
        return f"R{segment.round} {_readable(segment.clock_start)}"
    return _readable(moment.start)


def _readable(seconds: Fraction) -> str:
    return format_media_time(Fraction(round(seconds * 10), 10))
