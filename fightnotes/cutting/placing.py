"""From a moment to the frames that show it: its recording, handles, the footage's bounds and the round's."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from math import ceil

from fightnotes.clock import ClockError, format_media_time, frame_at, frame_of, parse_timecode
from fightnotes.cutting.cuts import Candidate, CutMoment, LeftOut
from fightnotes.cutting.media import Media, footage_of
from fightnotes.model import FOOTAGE, Bout, Handles, Recording

ASSUMED_RATE = Fraction(25)
"""Where neither the notes nor the file give a frame rate; said in the cut list's notes."""


@dataclass(frozen=True, slots=True)
class Placed:
    """A candidate with the frames that it would take, handles included."""

    candidate: Candidate
    moment: CutMoment
    recording: str
    rate: Fraction
    start_frame: int
    end_frame_exclusive: int
    place: int
    """Where the candidate stood in the order given, from 0."""

    @property
    def source(self) -> tuple[str, str]:
        """What it is cut from; moments of one source may be merged."""
        return self.candidate.bout.id, self.recording

    @property
    def media(self) -> Recording:
        return self.candidate.bout.recordings.get(self.recording, Recording())


def place(
    candidate: Candidate, position: int, handles: Handles, inside_round: bool, media: Mapping[str, Media]
) -> Placed | LeftOut:
    """The frames of a candidate, or why it has none.

    The first frame is the one that shows at the in point, the last one the one that shows just before the out
    point, both kept within the footage: from its first frame to its last where `media` knows the file.
    """
    segment, bout = candidate.segment, candidate.bout
    recording, start, end = _span(candidate)
    if start is None or end is None:
        written = segment.written_time or "no time"
        return LeftOut(candidate=candidate, why="untimed", detail=f"{written} has no place on a recording")
    moment = CutMoment(candidate=candidate, start=start, end=end)
    own = candidate.handles or handles
    first, last = start - own.before, end + own.after
    if inside_round and recording == FOOTAGE:
        bounds = round_bounds(bout, segment.round)
        if bounds and segment.period in ("round", None):
            first, last = max(first, bounds[0]), min(last, bounds[1])
            if first >= last:
                detail = f"{format_media_time(start)} is not in round {segment.round}"
                return LeftOut(candidate=candidate, why="outside the round", detail=detail)
    source = bout.recordings.get(recording, Recording())
    at_hand = footage_of(source, media)
    rate = source.rate or (at_hand.rate if at_hand else None) or ASSUMED_RATE
    start_frame, end_frame = frame_at(first, rate), ceil(last * rate)
    length = at_hand.frames(rate) if at_hand else None
    start_frame, end_frame = max(start_frame, 0), max(end_frame, start_frame + 1)
    if length is not None:
        end_frame = min(end_frame, length)
    if start_frame >= end_frame:
        bound = "its beginning" if length is None else f"its end at {format_media_time(length / rate)}"
        detail = f"{format_media_time(start)} lies outside {bound}"
        return LeftOut(candidate=candidate, why="outside the footage", detail=detail)
    return Placed(candidate, moment, recording, rate, start_frame, end_frame, position)


def start_of(media: Media | None, rate: Fraction) -> int | None:
    """Number of a file's first frame as its own timecode counts; None where it has none, or none at this rate."""
    if media is None or media.timecode is None:
        return None
    try:
        return frame_of(parse_timecode(media.timecode), rate)
    except ClockError:
        return None


def with_own_start(placed: Placed, media: Media | None) -> Bout:
    """The bout, its timecode counted from the file's own start where the notes give none."""
    bout, own = placed.candidate.bout, start_of(media, placed.rate)
    if own is None or placed.media.first_frame or media is None or media.timecode is None:
        return bout
    drop = placed.media.drop_frame or parse_timecode(media.timecode).drop
    counted = placed.media.model_copy(update={"first_frame": own, "drop_frame": drop})
    return bout.model_copy(update={"recordings": {**bout.recordings, placed.recording: counted}})


def round_bounds(bout: Bout, number: int | None) -> tuple[Fraction, Fraction] | None:
    """Footage seconds from a round's bell to its end, or to the next bell where that rings earlier."""
    if number is None or bout.rounds is None or number not in bout.bells:
        return None
    bell = bout.bells[number].time
    end = bell + bout.rounds.length
    following = bout.bells.get(number + 1)
    return bell, min(end, following.time) if following else end


def _span(candidate: Candidate) -> tuple[str, Fraction | None, Fraction | None]:
    """Recording, start and end: on the footage where the moment is placed there, else on its own recording."""
    segment = candidate.segment
    for recording in (FOOTAGE, segment.timed_on):
        if span := segment.span_on(recording):
            return recording, *span
    return segment.timed_on, None, None
