"""CMX 3600 edit decision list.

Layout from common practice, as the readers of editing programs take it: event number, reel, channels, transition,
then source in and out and record in and out, out points exclusive. Drop-frame is told by `FCM` and by `;`
before the frames, as SMPTE ST 12-1 writes it. Frames over 29 (50 and 60 a second) go beyond the first CMX 3600
and are read by programs that are told the rate.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping, Sequence
from pathlib import PurePath

from fightnotes.clock import format_timecode, nearest_frame
from fightnotes.cutting.cuts import Cut, CutList, one_line
from fightnotes.cutting.media import Media, footage_of
from fightnotes.cutting.timeline import Event, Timeline
from fightnotes.errors import ExportError

_MOST_EVENTS = 999
_TITLE_LENGTH = 70
_REEL_LENGTH = 8
_RESERVED = frozenset({"BL", "AX"})
"""Black and auxiliary: reel names with a meaning of their own."""


def write(cut_list: CutList, timeline: Timeline, media: Mapping[str, Media]) -> str:
    """Raises ExportError for more than 999 cuts, which the three digits of an event number cannot tell apart."""
    if len(cut_list.cuts) > _MOST_EVENTS:
        raise ExportError(f"{len(cut_list.cuts)} cuts: a CMX 3600 list holds {_MOST_EVENTS}, make two")
    reels = reel_names([_source(cut) for cut in cut_list.cuts])
    lines = [f"TITLE: {_ascii(cut_list.title)[:_TITLE_LENGTH].strip()}"]
    lines.append(f"FCM: {'DROP FRAME' if timeline.drop_frame else 'NON-DROP FRAME'}")
    for event in timeline.events:
        lines += ["", *_event(event, timeline, reels[_source(event.cut)], media)]
        if event.number == 1:  # strict readers take comments below an event only
            lines += [f"* RECORD RATE: {timeline.rate}", *(f"* {line}" for line in cut_list.remarks)]
    return "\n".join(lines) + "\n"


def reel_names(sources: Sequence[str]) -> dict[str, str]:
    """A reel name for each source: 1 to 8 of A-Z and 0-9, made of the file's name, no two alike."""
    names: dict[str, str] = {}
    for source in dict.fromkeys(sources):
        stem = re.sub(r"[^A-Z0-9]", "", _ascii(PurePath(source).stem).upper()) or "REEL"
        name, number = stem[:_REEL_LENGTH], 1
        while name in _RESERVED or name in names.values():
            number += 1
            name = f"{stem[: _REEL_LENGTH - len(str(number))]}{number}"
        names[source] = name
    return names


def _event(event: Event, timeline: Timeline, reel: str, media: Mapping[str, Media]) -> list[str]:
    cut = event.cut
    at_hand = footage_of(cut.media, media)
    channels = "V" if at_hand and not at_hand.has_sound else "AA/V"
    record = (timeline.timecode(event.start_frame), timeline.timecode(event.end_frame_exclusive))
    times = " ".join((*_source_times(event, timeline), *record))
    lines = [
        f"{event.number:03d}  {reel:<8} {channels:<5} C        {times}",
        f"* FROM CLIP NAME: {cut.title}",
        f"* SOURCE FILE: {_source(cut)}",
    ]
    if cut.rate != timeline.rate:
        own = f"{format_timecode(cut.start_timecode)} {format_timecode(cut.end_timecode_exclusive)}"
        lines.append(f"* SOURCE RATE: {cut.rate}, THERE {own}")
    lines += [
        f"* COMMENT: {one_line(moment.candidate.segment.text)} "
        f"({moment.candidate.segment.file}:{moment.candidate.segment.line})"
        for moment in cut.moments
    ]
    return lines


def _source_times(event: Event, timeline: Timeline) -> tuple[str, str]:
    """In and out in the source's timecode; counted at the record rate where the source runs at another, so that
    both durations of an event agree and a reader needs one rate."""
    cut = event.cut
    if cut.rate == timeline.rate:
        return format_timecode(cut.start_timecode), format_timecode(cut.end_timecode_exclusive)
    start = nearest_frame((cut.media.first_frame + cut.start_frame) / cut.rate, timeline.rate)
    return timeline.timecode(start), timeline.timecode(start + event.frames)


def _source(cut: Cut) -> str:
    return cut.media.file or f"{cut.bout.id}-{cut.recording}"


def _ascii(text: str) -> str:
    """Letters without accents; what ASCII lacks is left out."""
    return unicodedata.normalize("NFKD", one_line(text)).encode("ascii", "ignore").decode()
