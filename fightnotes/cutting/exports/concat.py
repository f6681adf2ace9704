"""A script for ffmpeg's concat demuxer (ffmpeg-formats, "concat") that cuts to the frame.

The demuxer alone goes back to the key frame before an in point. With `segment_time_metadata` it marks where each
piece begins and ends, and the filter `select=concatdec_select` (ffmpeg-filters, "select") lets only the frames
between pass: the command in the script's head uses both. In and out points stand a quarter of a frame early, so
that rounded time stamps fall on the right side; `-copyts` keeps ffmpeg from counting from the first key frame.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction

from fightnotes.cutting.cuts import Cut, CutList, one_line
from fightnotes.cutting.media import Media, footage_of
from fightnotes.cutting.showing import OPEN_GROUPS, showing_of
from fightnotes.cutting.timeline import Timeline
from fightnotes.errors import ExportError

_EARLY = Fraction(1, 4)


def write(cut_list: CutList, timeline: Timeline, media: Mapping[str, Media]) -> str:
    """Files at hand are named by their full path; for the others the written name stands, relative to the script.

    Raises ExportError for footage where ffmpeg's concat is not exact, and for a name that a line of the script cannot
    hold.
    """
    at_hand = [(cut, found) for cut in cut_list.cuts if (found := footage_of(cut.media, media))]
    for cut, found in at_hand:
        _require_exact(cut, found)
    sound = all(found.has_sound for _, found in at_hand)
    filters = "-vf select=concatdec_select" + (" -af aselect=concatdec_select,aresample=async=1" if sound else " -an")
    lines = [
        "ffconcat version 1.0",
        *(f"# {line}" for line in cut_list.remarks),
        "# The sources must be alike in picture size and sound; a render evens them out.",
        *_not_seen(cut_list.cuts, media),
        "# ffmpeg -copyts -f concat -safe 0 -segment_time_metadata 1 -i THIS_FILE "
        f"{filters} -fps_mode cfr -r {timeline.rate} reel.mp4",
    ]
    for event in timeline.events:
        cut = event.cut
        there = footage_of(cut.media, media)
        first = there.first_stamp if there else Fraction(0)
        start, end = (first + (frame - _EARLY) / cut.rate for frame in (cut.start_frame, cut.end_frame_exclusive))
        duration = timeline.seconds(event.end_frame_exclusive) - timeline.seconds(event.start_frame)
        lines += [
            "",
            f"# {event.number}: {cut.title}",
            f"file {_quoted(str(there.path) if there else f'./{cut.source}')}",
            f"inpoint {float(start):.6f}",
            f"outpoint {float(end):.6f}",
            f"duration {float(duration):.6f}",
        ]
    return "\n".join(lines) + "\n"


def _not_seen(cuts: Sequence[Cut], media: Mapping[str, Media]) -> Iterator[str]:
    """Remarks on footage that is not at hand: where its pictures begin is not known."""
    names = dict.fromkeys(cut.source for cut in cuts if footage_of(cut.media, media) is None)
    for name in names:
        yield f"# {one_line(name)} was not at hand: right to the frame if its first picture stands at 0 seconds."


def _require_exact(cut: Cut, found: Media) -> None:
    """Raises ExportError where the demuxer seeks past an in point, or where its cut shows other pictures: it takes
    those that begin in a span, and a reel shows what stands at each frame."""
    name = found.path.name
    if not found.stamped:
        raise ExportError(f"{name}: its pictures carry no times, which ffmpeg's concat goes by: render it instead")
    if not found.indexed:
        raise ExportError(
            f"{name}: ffmpeg's concat cannot cut this kind of file to the frame: render it, or copy it into another "
            "container first (ffmpeg -i FILE -c copy FILE.mkv)"
        )
    showing = showing_of(cut, found, cut.frames, cut.rate)
    if not showing.closed:
        raise ExportError(f"{name}: {OPEN_GROUPS}: render it instead")
    if not showing.even:
        raise ExportError(f"{name}: its pictures do not come one each frame, which ffmpeg's concat needs: render it")


def _quoted(text: str) -> str:
    """Of one line, as the demuxer reads a line at a time. A written name begins with `./`, as `a:b.mp4` would be the
    protocol `a`."""
    if "\n" in text or "\r" in text or "\0" in text:
        raise ExportError(f"{text!r}: ffmpeg's concat cannot name a file with a line break in its name")
    return "'" + text.replace("'", "'\\''") + "'"
