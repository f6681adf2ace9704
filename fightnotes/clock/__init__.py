"""Times: rates, timecode, media time, the round clock, and alignment. Exact: int and `fractions.Fraction`."""

from .align import Alignment
from .faults import ClockError
from .habits import habits_of
from .lexer import SpanToken, Time, TimeToken, parse_time, read_span, read_time
from .media_time import MediaTime, format_media_time, format_range, parse_media_time
from .near import refuse_near_time
from .notation import Habits
from .rate import drop_allowed, nominal, parse_rate
from .round_mark import RoundMark, names_rounds, read_round_mark
from .rounds import Bell, Placement, RoundClock, RoundFormat, elapsed_of, media_of, placement_of, resolve_bells
from .signs import narrow
from .timecode import (
    Timecode,
    format_timecode,
    frame_at,
    frame_of,
    frames_in_day,
    nearest_frame,
    parse_timecode,
    seconds_of_frame,
    timecode_of,
)

__all__ = [
    "Alignment", "Bell", "ClockError", "Habits", "MediaTime", "Placement", "RoundClock", "RoundFormat", "RoundMark",
    "SpanToken", "Time", "TimeToken", "Timecode", "drop_allowed", "elapsed_of", "format_media_time", "format_range",
    "format_timecode", "frame_at", "frame_of", "frames_in_day", "habits_of", "media_of", "names_rounds", "narrow",
    "nearest_frame", "nominal", "parse_media_time", "parse_rate", "parse_time", "parse_timecode", "placement_of",
    "read_round_mark", "read_span", "read_time", "refuse_near_time", "resolve_bells", "seconds_of_frame",
    "timecode_of",
]  # fmt: skip
