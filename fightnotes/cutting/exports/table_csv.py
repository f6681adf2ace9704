"""CSV (RFC 4180): a row for each cut. The format has no comments."""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping

from fightnotes.clock import format_timecode
from fightnotes.cutting.cuts import Cut, CutList, when
from fightnotes.cutting.media import Media
from fightnotes.cutting.timeline import Event, Timeline, lay_out
from fightnotes.model import acts_of

COLUMNS = (
    "number", "bout", "date", "file", "recording", "rate", "drop_frame", "in_frame", "out_frame_exclusive",
    "in_timecode", "out_timecode_exclusive", "in_seconds", "out_seconds", "record_in", "record_out_exclusive",
    "record_rate", "when", "title", "text", "tags", "by", "on", "target", "outcome", "relevance", "notes",
)  # fmt: skip


def write(cut_list: CutList, media: Mapping[str, Media]) -> str:
    timeline = lay_out(cut_list.cuts)
    out = io.StringIO(newline="")
    writer = csv.writer(out)
    writer.writerow(COLUMNS)
    for event in timeline.events:
        row = _row(event, timeline)
        writer.writerow([row[column] for column in COLUMNS])
    return out.getvalue()


def _row(event: Event, timeline: Timeline) -> dict[str, object]:
    cut = event.cut
    segments = [moment.candidate.segment for moment in cut.moments]
    return {
        "number": event.number,
        "bout": cut.bout.id,
        "date": cut.bout.date.isoformat() if cut.bout.date else "",
        "file": cut.media.file or "",
        "recording": cut.recording,
        "rate": cut.rate,
        "drop_frame": "yes" if cut.drop_frame else "no",
        "in_frame": cut.media.first_frame + cut.start_frame,
        "out_frame_exclusive": cut.media.first_frame + cut.end_frame_exclusive,
        "in_timecode": format_timecode(cut.start_timecode),
        "out_timecode_exclusive": format_timecode(cut.end_timecode_exclusive),
        "in_seconds": f"{float(cut.start):.6f}",
        "out_seconds": f"{float(cut.end_exclusive):.6f}",
        "record_in": timeline.timecode(event.start_frame),
        "record_out_exclusive": timeline.timecode(event.end_frame_exclusive),
        "record_rate": timeline.rate,
        "when": "; ".join(dict.fromkeys(when(moment) for moment in cut.moments)),
        "title": cut.title,
        "text": cut.text,
        "tags": " ".join(dict.fromkeys(tag.concept or tag.written for s in segments for tag in s.tags)),
        **{name: _field(cut, name) for name in ("by", "on", "target", "outcome")},
        "relevance": "" if cut.relevance is None else cut.relevance,
        "notes": "; ".join(f"{segment.file}:{segment.line}" for segment in segments),
    }


def _field(cut: Cut, name: str) -> str:
    acts = (act for moment in cut.moments for act in acts_of(moment.candidate.segment))
    return " ".join(dict.fromkeys(value for act in acts for value in getattr(act.fields, name)))
