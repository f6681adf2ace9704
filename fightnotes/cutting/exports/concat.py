"""A script for ffmpeg's concat demuxer (ffmpeg-formats, "concat") that cuts to the frame.

The demuxer alone goes back to the key frame before an in point. With `segment_time_metadata` it marks where each
piece begins and ends, and the filter `select=concatdec_select` (ffmpeg-filters, "select") lets only the frames
between pass: the command in the script's head uses both. In and out points stand a quarter of a frame early, so
that rounded time stamps fall on the right side; `-copyts` keeps ffmpeg from counting from the first key frame.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from fightnotes.cutting.cuts import CutList
from fightnotes.cutting.media import Media, footage_of
from fightnotes.cutting.timeline import Timeline
from fightnotes.errors import ExportError

_EARLY = Fraction(1, 4)


def write(cut_list: CutList, timeline: Timeline, media: Mapping[str, Media]) -> str:
    """Files at hand are named by their full path; for the others the written name stands, relative to the script.

    Raises ExportError for a file in a container without an index, where no in point is exact, and for a name that
    a line of the script cannot hold.
    """
    used = [found for cut in cut_list.cuts if (found := footage_of(cut.media, media))]
    for found in used:
        if not found.indexed:
            raise ExportError(
                f"{found.path.name}: ffmpeg's concat cannot cut this kind of file to the frame: render it, or copy it "
                "into another container first (ffmpeg -i FILE -c copy FILE.mkv)"
            )
    sound = all(found.has_sound for found in used)
    filters = "-vf select=concatdec_select" + (" -af aselect=concatdec_select,aresample=async=1" if sound else " -an")
    lines = [
        "ffconcat version 1.0",
        *(f"# {line}" for line in cut_list.remarks),
        "# The sources must be alike in picture size and sound; a render evens them out.",
        "# ffmpeg -copyts -f concat -safe 0 -segment_time_metadata 1 -i THIS_FILE "
        f"{filters} -fps_mode cfr -r {timeline.rate} reel.mp4",
    ]
    for event in timeline.events:
        cut = event.cut
        at_hand = footage_of(cut.media, media)
        first = at_hand.first_stamp if at_hand else Fraction(0)
        start, end = (first + (frame - _EARLY) / cut.rate for frame in (cut.start_frame, cut.end_frame_exclusive))
        duration = timeline.seconds(event.end_frame_exclusive) - timeline.seconds(event.start_frame)
        lines += [
            "",
            f"# {event.number}: {cut.title}",
            f"file {_quoted(str(at_hand.path) if at_hand else f'./{cut.source}')}",
            f"inpoint {float(start):.6f}",
            f"outpoint {float(end):.6f}",
            f"duration {float(duration):.6f}",
        ]
    return "\n".join(lines) + "\n"


def _quoted(text: str) -> str:
    """Of one line, as the demuxer reads a line at a time. A written name begins with `./`, as `a:b.mp4` would be the
    protocol `a`."""
    if "\n" in text or "\r" in text or "\0" in text:
        raise ExportError(f"{text!r}: ffmpeg's concat cannot name a file with a line break in its name")
    return "'" + text.replace("'", "'\\''") + "'"
