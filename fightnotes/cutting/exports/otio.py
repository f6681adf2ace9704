"""OpenTimelineIO JSON, written by opentimelineio (schema of the Academy Software Foundation project)."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from pathlib import PurePath

import opentimelineio
from opentimelineio.opentime import RationalTime, TimeRange

from fightnotes.cutting.cuts import Cut, CutList, one_line
from fightnotes.cutting.media import Media, footage_of
from fightnotes.cutting.timeline import Timeline


def write(cut_list: CutList, timeline: Timeline, media: Mapping[str, Media]) -> str:
    """A picture track, and a sound track where no source is known to be silent.

    Each clip keeps its source's own rate and timecode: its range counts from the media's first frame number.
    Moments are markers on the picture clips.
    """
    written = opentimelineio.schema.Timeline(
        name=cut_list.title,
        global_start_time=RationalTime(0, float(timeline.rate)),
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
    first = cut.media.first_frame
    clip = opentimelineio.schema.Clip(
        name=cut.title,
        media_reference=_reference(cut, at_hand),
        source_range=_range(first + cut.start_frame, cut.frames, cut.rate),
        metadata={
            "fightnotes": {
                "bout": cut.bout.id,
                "recording": cut.recording,
                "rate": str(cut.rate),
                "drop_frame": cut.drop_frame,
                "notes": [f"{m.candidate.segment.file}:{m.candidate.segment.line}" for m in cut.moments],
            }
        },
    )
    for moment in cut.moments if markers else ():
        start = min(max(moment.start, cut.start), cut.end_exclusive)
        end = min(max(moment.end, start), cut.end_exclusive)
        begin = int(start * cut.rate)
        clip.markers.append(
            opentimelineio.schema.Marker(
                name=one_line(moment.candidate.segment.text),
                marked_range=_range(first + begin, int(end * cut.rate) - begin, cut.rate),
            )
        )
    return clip


def _reference(cut: Cut, at_hand: Media | None) -> opentimelineio.core.MediaReference:
    if cut.media.file is None:
        return opentimelineio.schema.MissingReference(name=cut.bout.id)
    frames = at_hand.frames(cut.rate) if at_hand else None
    return opentimelineio.schema.ExternalReference(
        target_url=at_hand.path.as_uri() if at_hand else PurePath(cut.media.file).as_posix(),
        available_range=None if frames is None else _range(cut.media.first_frame, frames, cut.rate),
    )


def _range(start_frame: int, frames: int, rate: Fraction) -> TimeRange:
    return TimeRange(RationalTime(start_frame, float(rate)), RationalTime(frames, float(rate)))
