"""SubRip captions of the reel: the text that a render burns in.

The format has no standard, no comments and no way to escape (common practice). What readers take for a tag, an
override, or the times of a cue is therefore written with signs that look like those.
"""

from __future__ import annotations

import re
from collections.abc import Mapping

from fightnotes.cutting.cuts import CutList
from fightnotes.cutting.exports.stamp import stamp
from fightnotes.cutting.media import Media
from fightnotes.cutting.timeline import Timeline


def write(cut_list: CutList, timeline: Timeline, media: Mapping[str, Media]) -> str:
    blocks = []
    for event in timeline.events:
        start, end = (timeline.seconds(frame) for frame in (event.start_frame, event.end_frame_exclusive))
        blocks.append(f"{event.number}\n{stamp(start, ',')} --> {stamp(end, ',')}\n{_harmless(event.cut.title)}")
    return "\n\n".join(blocks) + "\n"


def _harmless(text: str) -> str:
    return _STAMP.sub(r"\1·", text.replace("-->", "→")).translate(_LOOK_ALIKE)


_STAMP = re.compile(r"([0-9]:[0-9]{1,2}:[0-9]{1,2})[.,](?=[0-9])")
_LOOK_ALIKE = str.maketrans({"<": "‹", ">": "›", "{": "❴", "}": "❵"})
