"""Plain text: a line for each cut, with its time in the reel, its title and where it comes from."""

from __future__ import annotations

from collections.abc import Mapping

from fightnotes.clock import format_media_time
from fightnotes.cutting.cuts import CutList, one_line
from fightnotes.cutting.media import Media
from fightnotes.cutting.timeline import Timeline


def write(cut_list: CutList, timeline: Timeline, media: Mapping[str, Media]) -> str:
    lines = [one_line(cut_list.title), ""]
    for event in timeline.events:
        cut = event.cut
        start, end = format_media_time(cut.start, decimals=3), format_media_time(cut.end_exclusive, decimals=3)
        reel = format_media_time(timeline.seconds(event.start_frame), decimals=3)
        lines.append(f"{reel}  {cut.title}  ({cut.media.file or cut.bout.id} {start} - {end})")
    lines += ["", *cut_list.remarks]
    return "\n".join(lines) + "\n"
