"""SubRip captions of the reel: the text that a render burns in. The format has no comments (common practice, no
standard)."""

from __future__ import annotations

from collections.abc import Mapping

from fightnotes.cutting.cuts import CutList
from fightnotes.cutting.exports.stamp import stamp
from fightnotes.cutting.media import Media
from fightnotes.cutting.timeline import Timeline


def write(cut_list: CutList, timeline: Timeline, media: Mapping[str, Media]) -> str:
    blocks = []
    for event in timeline.events:
        start, end = (timeline.seconds(frame) for frame in (event.start_frame, event.end_frame_exclusive))
        blocks.append(f"{event.number}\n{stamp(start, ',')} --> {stamp(end, ',')}\n{event.cut.title}")
    return "\n\n".join(blocks) + "\n"
