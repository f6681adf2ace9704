"""A cut list as plain values, a row for each cut: what tables and JSON show of it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from fightnotes.clock import seconds_of_frame
from fightnotes.cutting.cuts import Cut, CutList, when
from fightnotes.cutting.media import Media, footage_of
from fightnotes.cutting.sources import channels_of
from fightnotes.cutting.timeline import Event, Timeline, lay_out
from fightnotes.model import ACT_KEYS, acts_of

CUT_COLUMNS = (
    "number", "bout", "date", "media", "path", "reel", "channels", "recording", "rate", "drop_frame",
    "in_frame", "out_frame_exclusive", "in_timecode", "out_timecode_exclusive", "in_seconds", "out_seconds",
    "frames", "seconds", "handle_before", "handle_after",
    "moment_in_timecode", "moment_out_timecode_exclusive", "moment_in_seconds", "moment_out_seconds",
    "record_in", "record_out_exclusive", "record_in_frame", "record_out_frame_exclusive", "record_rate",
    "when", "title", "text", "tags", *ACT_KEYS, "relevance", "notes",
)  # fmt: skip


def rows_of(cut_list: CutList, media: Mapping[str, Media]) -> list[dict[str, Any]]:
    """Each with the keys of `CUT_COLUMNS`, in the order of the cuts; none for an empty list.

    Source frames count from the first number that the media's timecode gives, record frames from that of the reel;
    seconds from the first frame of the file, to a microsecond. `frames` and `seconds` are the cut's length,
    `handle_before` and `handle_after` the frames of it before and after its moments, `moment_...` where these begin
    and end. `rate` and `record_rate` are exact, as text. `path` is the file where it is at hand. `notes` are places,
    `file:line`.
    """
    if not cut_list.cuts:
        return []
    timeline = lay_out(cut_list.cuts, reel_start=cut_list.reel_start)
    return [_row(event, timeline, footage_of(event.cut.media, media)) for event in timeline.events]


def _row(event: Event, timeline: Timeline, at_hand: Media | None) -> dict[str, Any]:
    cut = event.cut
    segments = [moment.candidate.segment for moment in cut.moments]
    (first, end), (before, after) = cut.moment_frames, cut.handle_frames
    return {
        "number": event.number,
        "bout": cut.bout.id,
        "date": cut.bout.date.isoformat() if cut.bout.date else None,
        "media": cut.media.file,
        "path": str(at_hand.path) if at_hand else None,
        "reel": cut.reel,
        "channels": channels_of(at_hand),
        "recording": cut.recording,
        "rate": str(cut.rate),
        "drop_frame": cut.drop_frame,
        "in_frame": cut.media.first_frame + cut.start_frame,
        "out_frame_exclusive": cut.media.first_frame + cut.end_frame_exclusive,
        "in_timecode": cut.timecode(cut.start_frame),
        "out_timecode_exclusive": cut.timecode(cut.end_frame_exclusive),
        "in_seconds": round(float(cut.start), 6),
        "out_seconds": round(float(cut.end_exclusive), 6),
        "frames": cut.frames,
        "seconds": round(float(cut.duration), 6),
        "handle_before": before,
        "handle_after": after,
        "moment_in_timecode": cut.timecode(first),
        "moment_out_timecode_exclusive": cut.timecode(end),
        "moment_in_seconds": _seconds(cut, first),
        "moment_out_seconds": _seconds(cut, end),
        "record_in": timeline.timecode(event.start_frame),
        "record_out_exclusive": timeline.timecode(event.end_frame_exclusive),
        "record_in_frame": timeline.first_frame + event.start_frame,
        "record_out_frame_exclusive": timeline.first_frame + event.end_frame_exclusive,
        "record_rate": str(timeline.rate),
        "when": ", ".join(dict.fromkeys(when(moment) for moment in cut.moments)),
        "title": cut.title,
        "text": cut.text,
        "tags": list(dict.fromkeys(tag.name for segment in segments for tag in segment.tags)),
        **{name: _field(cut, name) for name in ACT_KEYS},
        "relevance": cut.relevance,
        "notes": [segment.place for segment in segments],
    }


def _seconds(cut: Cut, frame: int) -> float:
    return round(float(seconds_of_frame(frame, cut.rate)), 6)


def _field(cut: Cut, name: str) -> list[str]:
    acts = (act for moment in cut.moments for act in acts_of(moment.candidate.segment))
    return list(dict.fromkeys(value for act in acts for value in getattr(act.fields, name)))
