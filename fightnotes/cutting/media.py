"""A file of footage as ffmpeg reads it."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from pathlib import Path

from fightnotes.clock import nearest_frame
from fightnotes.model import Record, Recording


class Media(Record):
    """A file that is there."""

    path: Path
    indexed: bool
    """Whether the container lets ffmpeg seek straight to a key frame."""
    stamped: bool = True
    """Whether its pictures carry their times; else they are counted from the first one."""
    container_start: Fraction
    """Time stamp that ffmpeg seeks from."""
    first_stamp: Fraction
    """Time stamp of the first picture that can be shown, in seconds; it is frame 0."""
    length: Fraction | None
    """Seconds from the first picture to the end of the last; None where the file does not tell."""
    width: int
    height: int
    """Of the picture as it is shown, turned as the file asks for, in pixels."""
    pixel_aspect: Fraction
    rate: Fraction | None
    """As the file says, abbreviated rates made exact; where it varies, the even rate that it keeps to when it does
    not. None where the file says none."""
    average_rate: Fraction | None = None
    """Where the rate varies; None where it does not."""
    interlaced: bool = False
    timecode: str | None = None
    """Of the first frame, where the file carries one."""
    video_codec: str
    audio_codec: str | None
    """Of the first stream of sound; None where there is none."""
    audio_hertz: int | None = None
    channels: tuple[int, ...] = ()
    """Of each stream of sound."""

    @property
    def has_sound(self) -> bool:
        return self.audio_codec is not None

    def frames(self, rate: Fraction) -> int | None:
        """How many frames the file holds at `rate`."""
        return None if self.length is None else max(1, nearest_frame(self.length, rate))


def footage_of(recording: Recording, media: Mapping[str, Media]) -> Media | None:
    """The recording's file, where it is at hand; `media` by file as written."""
    return None if recording.file is None else media.get(recording.file)
