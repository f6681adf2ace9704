"""From a written time to seconds on a recording, and to its place in the bout."""

from __future__ import annotations

from fractions import Fraction

from fightnotes.clock import (
    ClockError,
    MediaTime,
    Placement,
    RoundClock,
    Time,
    Timecode,
    drop_allowed,
    frame_of,
    media_of,
    placement_of,
    seconds_of_frame,
)
from fightnotes.model import FOOTAGE, Bout, Recording, Segment


def seconds_on(recording: Recording | None, time: MediaTime | Timecode) -> Fraction:
    """Seconds from the first frame of `recording`; a timecode counts from its `first_frame`.

    Raises ClockError for a timecode on a recording without a rate, before its first frame, or that the
    rate does not count.
    """
    if isinstance(time, MediaTime):
        return time.seconds
    if recording is None or recording.rate is None:
        raise ClockError("a timecode", "the recording's rate in the front matter, to count frames with")
    frame = frame_of(time, recording.rate) - recording.first_frame
    if frame < 0:
        raise ClockError("a timecode before the recording's first frame", "one from its start on")
    return seconds_of_frame(frame, recording.rate)


def locate(bout: Bout, timed_on: str, time: Time) -> Fraction | None:
    """Seconds on the recording `timed_on`; None for a round clock that no bell places.

    Raises ClockError for a time that the recording or the bout's rounds cannot have, and for a round
    clock on a recording that is not the footage.
    """
    if not isinstance(time, RoundClock):
        return seconds_on(bout.recordings.get(timed_on), time)
    if timed_on != FOOTAGE:
        raise ClockError("a round clock", f"a time of the recording '{timed_on}': the bells ring on the footage")
    if bout.rounds is None:
        return None
    return media_of(time, bout.bells, bout.rounds)


def to_footage(bout: Bout, timed_on: str, seconds: Fraction | None) -> Fraction | None:
    """The same instant on the footage; None where the recordings are not aligned there."""
    if seconds is None or timed_on == FOOTAGE:
        return seconds
    recording = bout.recordings.get(timed_on)
    if recording is None or recording.align is None:
        return None
    return recording.align.to_footage(seconds)


def placement(bout: Bout, footage_seconds: Fraction | None) -> Placement | None:
    """Round, round clock and period of an instant of the footage; None where no bell tells."""
    if footage_seconds is None or bout.rounds is None:
        return None
    return placement_of(footage_seconds, bout.bells, bout.rounds)


def seconds_gone(segment: Segment, bout: Bout) -> Fraction | None:
    """Seconds of its round that were gone when it began."""
    if bout.rounds is None or segment.clock_start is None:
        return None
    return segment.clock_start if bout.rounds.clock == "up" else bout.rounds.length - segment.clock_start


def next_bell(bout: Bout, footage_seconds: Fraction) -> Fraction | None:
    """Footage seconds of the first bell after an instant, whether it opens a round or ends one."""
    if bout.rounds is None:
        return None
    openings = [bell.time for bell in bout.bells.values()]
    ends = [opening + bout.rounds.length for opening in openings]
    return min((bell for bell in (*openings, *ends) if bell > footage_seconds), default=None)


def drop_is_possible(rate: Fraction | None) -> bool:
    return rate is not None and drop_allowed(rate)
