"""WebVTT chapters of the reel (W3C WebVTT: The Web Video Text Tracks Format, cue text of chapter tracks)."""

from __future__ import annotations

from collections.abc import Mapping

from fightnotes.cutting.cuts import CutList
from fightnotes.cutting.exports.stamp import stamp
from fightnotes.cutting.media import Media
from fightnotes.cutting.timeline import Timeline


def write(cut_list: CutList, timeline: Timeline, media: Mapping[str, Media]) -> str:
    blocks = ["WEBVTT", "NOTE\n" + "\n".join(_escaped(line) for line in cut_list.remarks)]
    for event in timeline.events:
        start, end = (timeline.seconds(frame) for frame in (event.start_frame, event.end_frame_exclusive))
        blocks.append(f"{event.number}\n{stamp(start, '.')} --> {stamp(end, '.')}\n{_escaped(event.cut.title)}")
    return "\n\n".join(blocks) + "\n"


def _escaped(text: str) -> str:
    """With `>` escaped no text can hold the arrow, which neither a note nor a cue may."""
    return text.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
