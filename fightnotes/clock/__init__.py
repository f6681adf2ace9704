"""Times: rates, timecode, media time, the round clock, and alignment. Exact: int and `fractions.Fraction`."""

from .align import Alignment
from .faults import ClockError
from .lexer import SpanToken, Time, TimeToken, parse_time, read_span, read_time
from .media_time import MediaTime, format_media_time, format_range, parse_media_time
from .rate import drop_allowed, nominal, parse_rate
from .rounds import Bell, Placement, RoundClock, RoundFormat, elapsed_of, media_of, placement_of, resolve_bells
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
    "Alignment", "Bell", "ClockError", "MediaTime", "Placement", "RoundClock", "RoundFormat", "SpanToken", "Time",
    "TimeToken", "Timecode", "drop_allowed", "elapsed_of", "format_media_time", "format_range", "format_timecode",
    "frame_at", "frame_of", "frames_in_day", "media_of", "nearest_frame", "nominal", "parse_media_time", "parse_rate",
    "parse_time", "parse_timecode", "placement_of", "read_span", "read_time", "resolve_bells", "seconds_of_frame",
    "timecode_of",
]  # fmt: skip
