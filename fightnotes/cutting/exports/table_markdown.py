"""A Markdown table (the table extension of GitHub Flavored Markdown, section 4.10)."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

from fightnotes.clock import format_media_time
from fightnotes.cutting.cuts import CutList, one_line
from fightnotes.cutting.media import Media
from fightnotes.cutting.timeline import Timeline

_SPECIAL = re.compile(r"([\\`*_\[\]<>|#&~!])")
_COLUMNS = ("Cut", "Reel", "Source", "In", "Out (exclusive)", "Length", "Title", "What the notes say")


def write(cut_list: CutList, timeline: Timeline, media: Mapping[str, Media]) -> str:
    lines = [f"# {_escaped(cut_list.title)}", "", _row(_COLUMNS), _row(["---"] * len(_COLUMNS))]
    for event in timeline.events:
        cut = event.cut
        cells = (
            str(event.number),
            timeline.timecode(event.start_frame),
            cut.source,
            cut.timecode(cut.start_frame),
            cut.timecode(cut.end_frame_exclusive),
            format_media_time(cut.duration, decimals=2),
            cut.title,
            cut.text,
        )
        lines.append(_row([_escaped(cell) for cell in cells]))
    if cut_list.left_out:
        lines += ["", "Left out:", ""]
        lines += [f"- {_escaped(str(item))}" for item in cut_list.left_out]
    lines.append("")
    lines += [f"{_escaped(line)}  " for line in cut_list.remarks]
    return "\n".join(line.rstrip() if not line.endswith(".  ") else line for line in lines) + "\n"


def _row(cells: Sequence[str]) -> str:
    return f"| {' | '.join(cells)} |"


def _escaped(text: str) -> str:
    return _SPECIAL.sub(r"\\\1", one_line(text))
