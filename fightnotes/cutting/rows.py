"""A cut list as plain values, a row for each cut: what tables and JSON show of it."""

from __future__ import annotations

from typing import Any

from fightnotes.clock import format_timecode
from fightnotes.cutting.cuts import Cut, CutList, when
from fightnotes.cutting.timeline import Event, Timeline, lay_out
from fightnotes.model import ACT_KEYS, acts_of

CUT_COLUMNS = (
    "number", "bout", "date", "media", "recording", "rate", "drop_frame", "in_frame", "out_frame_exclusive",
    "in_timecode", "out_timecode_exclusive", "in_seconds", "out_seconds", "record_in", "record_out_exclusive",
    "record_rate", "when", "title", "text", "tags", *ACT_KEYS, "relevance", "notes",
)  # fmt: skip


def rows_of(cut_list: CutList) -> list[dict[str, Any]]:
    """Each with the keys of `CUT_COLUMNS`, in the order of the cuts; none for an empty list.

    Frames count from the first number that the media's timecode gives, seconds from its first frame, to a
    microsecond. `rate` and `record_rate` are exact, as text. `notes` are places, `file:line`.
    """
    if not cut_list.cuts:
        return []
    timeline = lay_out(cut_list.cuts)
    return [_row(event, timeline) for event in timeline.events]


def _row(event: Event, timeline: Timeline) -> dict[str, Any]:
    cut = event.cut
    segments = [moment.candidate.segment for moment in cut.moments]
    return {
        "number": event.number,
        "bout": cut.bout.id,
        "date": cut.bout.date.isoformat() if cut.bout.date else None,
        "media": cut.media.file,
        "recording": cut.recording,
        "rate": str(cut.rate),
        "drop_frame": cut.drop_frame,
        "in_frame": cut.media.first_frame + cut.start_frame,
        "out_frame_exclusive": cut.media.first_frame + cut.end_frame_exclusive,
        "in_timecode": format_timecode(cut.start_timecode),
        "out_timecode_exclusive": format_timecode(cut.end_timecode_exclusive),
        "in_seconds": round(float(cut.start), 6),
        "out_seconds": round(float(cut.end_exclusive), 6),
        "record_in": timeline.timecode(event.start_frame),
        "record_out_exclusive": timeline.timecode(event.end_frame_exclusive),
        "record_rate": str(timeline.rate),
        "when": ", ".join(dict.fromkeys(when(moment) for moment in cut.moments)),
        "title": cut.title,
        "text": cut.text,
        "tags": list(dict.fromkeys(tag.name for segment in segments for tag in segment.tags)),
        **{name: _field(cut, name) for name in ACT_KEYS},
        "relevance": cut.relevance,
        "notes": [f"{segment.file}:{segment.line}" for segment in segments],
    }


def _field(cut: Cut, name: str) -> list[str]:
    acts = (act for moment in cut.moments for act in acts_of(moment.candidate.segment))
    return list(dict.fromkeys(value for act in acts for value in getattr(act.fields, name)))
