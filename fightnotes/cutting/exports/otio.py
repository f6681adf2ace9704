"""OpenTimelineIO JSON, written by opentimelineio (schema of the Academy Software Foundation project)."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import PurePath
from urllib.parse import quote

import opentimelineio
from opentimelineio.opentime import RationalTime, TimeRange

from fightnotes.cutting.cuts import Cut, CutList, one_line
from fightnotes.cutting.markers import Marker, markers_of
from fightnotes.cutting.media import Media, footage_of
from fightnotes.cutting.timeline import Timeline
from fightnotes.model import ACT_KEYS


def write(cut_list: CutList, timeline: Timeline, media: Mapping[str, Media]) -> str:
    """A picture track, and a sound track where no source is known to be silent.

    Each clip keeps its source's own rate and timecode: its range counts from the media's first frame number.
    Moments are markers on the picture clips, without handles, in the colours of `cutting/markers`.
    """
    written = opentimelineio.schema.Timeline(
        name=cut_list.title,
        global_start_time=RationalTime(timeline.first_frame, float(timeline.rate)),
        metadata={
            "fightnotes": {
                "remarks": list(cut_list.remarks),
                "record_rate": str(timeline.rate),
                "drop_frame": timeline.drop_frame,
            }
        },
    )
    kinds = [("Picture", opentimelineio.schema.TrackKind.Video)]
    if not any(found and not found.has_sound for found in (footage_of(cut.media, media) for cut in cut_list.cuts)):
        kinds.append(("Sound", opentimelineio.schema.TrackKind.Audio))
    for name, kind in kinds:
        track = opentimelineio.schema.Track(name=name, kind=kind)
        track.extend(_clip(cut, footage_of(cut.media, media), markers=name == "Picture") for cut in cut_list.cuts)
        written.tracks.append(track)
    text: str = opentimelineio.adapters.write_to_string(written, "otio_json")
    return text + "\n"


def _clip(cut: Cut, at_hand: Media | None, markers: bool) -> opentimelineio.schema.Clip:
    before, after = cut.handle_frames
    clip = opentimelineio.schema.Clip(
        name=cut.title,
        media_reference=_reference(cut, at_hand),
        source_range=_range(cut, cut.start_frame, cut.end_frame_exclusive),
        metadata={
            "fightnotes": {
                "bout": cut.bout.id,
                "recording": cut.recording,
                "reel": cut.reel,
                "rate": str(cut.rate),
                "drop_frame": cut.drop_frame,
                "handles": {"before": before, "after": after},
                "notes": [moment.candidate.place for moment in cut.moments],
            }
        },
    )
    if markers:
        clip.markers.extend(_marker(cut, marker) for marker in markers_of(cut))
    return clip


def _marker(cut: Cut, marker: Marker) -> opentimelineio.schema.Marker:
    segment = marker.moment.candidate.segment
    return opentimelineio.schema.Marker(
        name=marker.title,
        marked_range=_range(cut, marker.start_frame, marker.end_frame_exclusive),
        color=marker.colour,
        comment=one_line(segment.text),
        metadata={
            "fightnotes": {
                "tags": list(segment.tag_names),
                **{key: list(segment.all_of(key)) for key in ACT_KEYS},
                "note": segment.place,
            }
        },
    )


def _reference(cut: Cut, at_hand: Media | None) -> opentimelineio.core.MediaReference:
    if cut.media.file is None:
        return opentimelineio.schema.MissingReference(name=cut.source)
    frames = at_hand.frames(cut.rate) if at_hand else None
    written = PurePath(cut.media.file)
    reference = opentimelineio.schema.ExternalReference(
        target_url=at_hand.path.as_uri() if at_hand else quote(written.as_posix()),
        available_range=None if frames is None else _range(cut, 0, frames),
    )
    reference.name = written.name
    return reference


def _range(cut: Cut, start_frame: int, end_frame_exclusive: int) -> TimeRange:
    """Of frames counted from 0 at the first of the file, as its timecode numbers them."""
    rate = float(cut.rate)
    start = RationalTime(cut.media.first_frame + start_frame, rate)
    return TimeRange(start, RationalTime(end_frame_exclusive - start_frame, rate))
