"""Plain text to paste under the reel: a line for each cut, its time in the reel and its title, and nothing else."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from math import floor

from fightnotes.clock import format_media_time
from fightnotes.cutting.cuts import CutList
from fightnotes.cutting.media import Media
from fightnotes.cutting.timeline import Timeline


def write(cut_list: CutList, timeline: Timeline, media: Mapping[str, Media]) -> str:
    """Times are whole seconds, begun when the cut begins, so that none leads past its first frame."""
    lines = []
    for event in timeline.events:
        begun = Fraction(floor(timeline.seconds(event.start_frame)))
        lines.append(f"{format_media_time(begun, decimals=0)} {event.cut.title}")
    return "\n".join(lines) + "\n"
