"""A bout as its front matter gives it."""

from __future__ import annotations

import datetime
from fractions import Fraction
from typing import Literal

from pydantic import BaseModel, ConfigDict

from fightnotes.clock import Alignment, Bell, RoundFormat, format_timecode, frame_at, timecode_of

Stance = Literal["orthodox", "southpaw", "switch"]
Corner = Literal["red", "blue"]
SourceKind = Literal["notes", "transcript"]

FOOTAGE = "footage"
"""The recording that times count on unless a source says otherwise."""


class Record(BaseModel):
    """Base of all models: immutable, and no field is taken that is not declared."""

    model_config = ConfigDict(frozen=True, extra="forbid", arbitrary_types_allowed=True)


class Fighter(Record):
    id: str
    name: str
    also: tuple[str, ...] = ()
    """Other forms that an analyst writes."""
    misheard: tuple[str, ...] = ()
    """Forms that a speech recogniser makes of the name."""
    stance: Stance | None = None


class Recording(Record):
    """A media file that times count on: the footage, or a spoken breakdown of it."""

    file: str | None = None
    """As written in the front matter: relative to the library or to one of its media roots."""
    rate: Fraction | None = None
    """Frames per second, exact."""
    drop_frame: bool = False
    first_frame: int = 0
    """Number of the first frame: what `start`, a timecode, counts to at `rate`."""
    align: Alignment | None = None
    """From this recording to the footage; never on the footage itself."""

    def timecode(self, seconds: Fraction) -> str | None:
        """Of the frame that shows at an instant; None where no rate is given."""
        if self.rate is None:
            return None
        frame = self.first_frame + frame_at(seconds, self.rate)
        return format_timecode(timecode_of(frame, self.rate, self.drop_frame))


class Source(Record):
    """A file beside the bout's own notes."""

    file: str
    """Relative to the library, with forward slashes."""
    kind: SourceKind = "transcript"
    analyst: str | None = None
    timed_on: str = FOOTAGE


class Bout(Record):
    id: str
    id_place: tuple[int, int] = (1, 1)
    """Line and column, from 1, of the id in `file`; the file's beginning where it gives none."""
    file: str
    """Relative to the library, with forward slashes."""
    title: str
    date: datetime.date | None = None
    rounds: RoundFormat | None = None
    bells: dict[int, Bell] = {}
    """Opening bell of each round in footage time, given or inferred."""
    red: Fighter | None = None
    blue: Fighter | None = None
    recordings: dict[str, Recording] = {}
    """By name; the footage is `FOOTAGE`."""
    sources: tuple[Source, ...] = ()
    analyst: str | None = None

    @property
    def fighters(self) -> tuple[Fighter, ...]:
        """Red before blue, those that are known."""
        return tuple(fighter for fighter in (self.red, self.blue) if fighter)

    @property
    def files(self) -> tuple[str, ...]:
        """Its own file and those of its sources, relative to the library."""
        return self.file, *(source.file for source in self.sources)

    @property
    def recording_files(self) -> tuple[str, ...]:
        """Of its recordings, as the front matter writes them; those without a file left out."""
        return tuple(recording.file for recording in self.recordings.values() if recording.file is not None)

    def corner_of(self, fighter_id: str) -> Corner | None:
        if self.red and self.red.id == fighter_id:
            return "red"
        return "blue" if self.blue and self.blue.id == fighter_id else None

    @property
    def footage(self) -> Recording | None:
        return self.recordings.get(FOOTAGE)
