"""SMPTE ST 12-1 timecode: labels of frames, counted without and with dropped labels.

Drop-frame counting skips labels, never frames. At 30000/1001 the labels ;00 and ;01 are skipped at the start
of each minute except each tenth, so that 10 minutes of labels are 17,982 frames; at 60000/1001 it is ;00 to
;03 and 35,964.
"""

import re
from dataclasses import dataclass
from fractions import Fraction
from math import floor

from .faults import ClockError
from .rate import drop_allowed, nominal

_TIMECODE = re.compile(r"([0-9]{2}):([0-9]{2}):([0-9]{2})([:;])([0-9]{2,3})")
_MOST = {"hours": 23, "minutes": 59, "seconds": 59, "frames": 999}


@dataclass(frozen=True, slots=True)
class Timecode:
    """The label of one frame. Whether the label exists at a rate is for `frame_of` to say.

    Raises ClockError for hours over 23, minutes or seconds over 59, frames over 999, and anything below 0.
    """

    hours: int
    minutes: int
    seconds: int
    frames: int
    drop: bool
    """True where labels are counted drop-frame, written with `;` before the frames."""

    def __post_init__(self) -> None:
        for field, most in _MOST.items():
            if not 0 <= getattr(self, field) <= most:
                raise ClockError(format_timecode(self), f"{field} from 00 to {most}")


def parse_timecode(text: str) -> Timecode:
    """Read `hh:mm:ss:ff` or, drop-frame, `hh:mm:ss;ff`; frames may take three digits above 100 frames a
    second.

    Raises ClockError for any other shape and for fields out of range.
    """
    match = _TIMECODE.fullmatch(text)
    if match is None:
        raise ClockError(text or "nothing", "a timecode such as 01:02:03:04, or 01:02:03;04 for drop-frame")
    hours, minutes, seconds, mark, frames = match.groups()
    return Timecode(int(hours), int(minutes), int(seconds), int(frames), drop=mark == ";")


def format_timecode(timecode: Timecode) -> str:
    """`hh:mm:ss:ff`, with `;` before the frames when drop-frame."""
    mark = ";" if timecode.drop else ":"
    return f"{timecode.hours:02d}:{timecode.minutes:02d}:{timecode.seconds:02d}{mark}{timecode.frames:02d}"


def frame_of(timecode: Timecode, rate: Fraction) -> int:
    """The frame that carries a label, counted from frame 0 at 00:00:00:00.

    Raises ClockError where the label does not exist: frames at or over the count of a second, a dropped
    label, or drop-frame at a rate that has none.
    """
    count = nominal(rate)
    if timecode.frames >= count:
        raise ClockError(format_timecode(timecode), f"frames from 00 to {count - 1:02d} at rate {rate}")
    minutes = timecode.hours * 60 + timecode.minutes
    label = (minutes * 60 + timecode.seconds) * count + timecode.frames
    if not timecode.drop:
        return label
    dropped = _dropped_a_minute(rate)
    if timecode.seconds == 0 and timecode.frames < dropped and timecode.minutes % 10:
        raise ClockError(
            format_timecode(timecode),
            f"frames from {dropped:02d} to {count - 1:02d} in the first second of this minute, "
            "as drop-frame counting skips those below",
        )
    return label - dropped * (minutes - minutes // 10)


def timecode_of(frame: int, rate: Fraction, drop: bool) -> Timecode:
    """The label of a frame, counted from frame 0 at 00:00:00:00.

    After 24 hours of labels the count starts again at 00:00:00:00, as a timecode clock does at midnight:
    footage that starts at 23:59:50:00 runs on into 00:00:00:00. `frames_in_day` is the period.

    Raises ClockError for a frame below 0 and for drop-frame at a rate that has none.
    """
    if frame < 0:
        raise ClockError(f"frame {frame}", "a frame from 0 on")
    count = nominal(rate)
    label = frame % frames_in_day(rate, drop)
    if drop:
        dropped = _dropped_a_minute(rate)
        minute = count * 60 - dropped
        tens, within = divmod(label, minute * 10 + dropped)
        label += dropped * 9 * tens
        if within >= count * 60:  # past the tenth minute, which drops none
            label += dropped * ((within - dropped) // minute)
    seconds, frames = divmod(label, count)
    minutes, seconds = divmod(seconds, 60)
    hours, minutes = divmod(minutes, 60)
    return Timecode(hours, minutes, seconds, frames, drop)


def frames_in_day(rate: Fraction, drop: bool) -> int:
    """How many labels 24 hours of timecode hold: 2,589,408 at 30000/1001 drop-frame.

    Raises ClockError for drop-frame at a rate that has none.
    """
    labels = 24 * 60 * 60 * nominal(rate)
    if not drop:
        return labels
    return labels - 24 * 54 * _dropped_a_minute(rate)


def seconds_of_frame(frame: int, rate: Fraction) -> Fraction:
    """The instant at which a frame begins, in seconds from the beginning of frame 0."""
    return Fraction(frame) / rate


def frame_at(seconds: Fraction, rate: Fraction) -> int:
    """The frame that shows at an instant: the last one to begin at or before it."""
    return floor(seconds * rate)


def nearest_frame(seconds: Fraction, rate: Fraction) -> int:
    """The frame that begins nearest to an instant; half-way, the later one."""
    return floor(seconds * rate + Fraction(1, 2))


def _dropped_a_minute(rate: Fraction) -> int:
    if not drop_allowed(rate):
        raise ClockError(f"drop-frame timecode at rate {rate}", "rate 30000/1001 or 60000/1001")
    return nominal(rate) // 15
