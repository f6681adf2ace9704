"""CMX 3600 edit decision list.

Layout from common practice, as the readers of editing programs take it: event number, reel, channels, transition,
then source in and out and record in and out, out points exclusive. Drop-frame is told by `FCM` and by `;`
before the frames, as SMPTE ST 12-1 writes it. Frames over 29 (50 and 60 a second) go beyond the first CMX 3600
and are read by programs that are told the rate. Text is ASCII.

`FROM CLIP NAME` and the marker comment `LOC` (timecode, colour, text) are as OpenTimelineIO's open adapter for the
format reads and writes them (otio-cmx3600-adapter, `cmx_3600.py`); that the timecode is the record's is common
practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import PurePath

from fightnotes.cutting.cuts import CutList
from fightnotes.cutting.markers import markers_of
from fightnotes.cutting.media import Media, footage_of
from fightnotes.cutting.sources import ascii_line, channels_of
from fightnotes.cutting.timeline import Event, Timeline
from fightnotes.errors import ExportError

_MOST_EVENTS = 999
_TITLE_LENGTH = 70


def write(cut_list: CutList, timeline: Timeline, media: Mapping[str, Media]) -> str:
    """Of cuts that all count their frames alike.

    Raises ExportError for more than 999 cuts, which the three digits of an event number cannot tell apart.
    """
    if len(timeline.events) > _MOST_EVENTS:
        raise ExportError(f"{len(timeline.events)} cuts: a CMX 3600 list holds {_MOST_EVENTS}, make two")
    lines = [f"TITLE: {ascii_line(cut_list.title)[:_TITLE_LENGTH].strip()}"]
    lines.append(f"FCM: {'DROP FRAME' if timeline.drop_frame else 'NON-DROP FRAME'}")
    for event in timeline.events:
        lines += ["", _edit(event, timeline, media), *_comments(event, timeline)]
        if event.number == 1:  # strict readers take comments below an event only
            lines += [f"* RATE: {timeline.rate}", *map(_comment, cut_list.remarks)]
    return "\n".join(lines) + "\n"


def _edit(event: Event, timeline: Timeline, media: Mapping[str, Media]) -> str:
    cut = event.cut
    source = (cut.timecode(cut.start_frame), cut.timecode(cut.end_frame_exclusive))
    record = (timeline.timecode(event.start_frame), timeline.timecode(event.end_frame_exclusive))
    channels = channels_of(footage_of(cut.media, media))
    return f"{event.number:03d}  {cut.reel:<8} {channels:<5} C        {' '.join((*source, *record))}"


def _comments(event: Event, timeline: Timeline) -> Iterator[str]:
    cut = event.cut
    source, (before, after) = cut.source, cut.handle_frames
    yield f"* FROM CLIP NAME: {ascii_line(PurePath(source).name)}"
    yield f"* SOURCE FILE: {ascii_line(source)}"
    if ascii_line(source) != source:
        yield _comment("The file's name has other letters than ASCII: it is spelt here, and must be found by hand.")
    yield _comment(cut.title)
    for moment in cut.moments:
        yield _comment(f"{moment.candidate.segment.text} ({moment.candidate.place})")
    yield f"* HANDLES: {before} FRAMES BEFORE, {after} AFTER"
    for marker in markers_of(cut):
        at = timeline.timecode(event.start_frame + marker.start_frame - cut.start_frame)
        yield f"* LOC: {at} {marker.colour:<7} {ascii_line(f'{marker.title} {marker.moment.candidate.marks}')}"


def _comment(text: str) -> str:
    """Behind a word of its own, so that no text is read as one of the comments that mean something."""
    return f"* COMMENT: {ascii_line(text)}"
