"""Which pictures of a file show in a span of time, and from where ffmpeg must read to decode them.

The picture that shows at a time is the last one begun. The packets around the span are listed before anything is
decoded, so that the pictures are known beforehand, and what comes out of the decoder can be held against them.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from math import floor

from fightnotes.clock import format_media_time, nearest_frame
from fightnotes.cutting.cuts import Cut
from fightnotes.cutting.ffmpeg import opening
from fightnotes.cutting.media import Media
from fightnotes.cutting.packets import Packet, packets, shown_stamps
from fightnotes.errors import ExportError

OPEN_GROUPS = "its groups of pictures lean on those before them, so that pieces of it cannot be set side by side"
_LEANING = frozenset({"h264", "hevc"})
"""Codecs whose decoder takes a picture's neighbours from the piece before where groups are open."""
_EARLIER = (Fraction(0), Fraction(5), Fraction(30))
"""Seconds that reading begins before the span, until a key frame is found there; at last from the beginning."""
_UNINDEXED_MORE = Fraction(1)
"""Without an index a seek lands a little late."""
_LONGER = Fraction(2)
"""Seconds that are listed after the span: pictures are stored out of order by less than that."""
_ROUNDED = 2
"""Microseconds by which a stamp may be off after it was counted in microseconds."""
_DECODED = re.compile(r"n: *\d+ pts: *(-?\d+) +pts_time:")
"""A picture in what `showinfo` writes. The filter's name does not always stand before it: ffmpeg leaves it out where
another of its threads is in the middle of a line."""
_MICROSECONDS = Fraction(1_000_000)


@dataclass(frozen=True, slots=True)
class Showing:
    """A span of time on a file, at an even rate."""

    media: Media
    begin: Fraction
    """Seconds from the first picture."""
    rate: Fraction
    frames: int
    """How many pictures at `rate` show it."""
    slack: Fraction
    """Seconds that a picture may begin late and still show: rounding in the container makes no difference."""
    read_from: Fraction | None
    """Seconds for ffmpeg's `-ss`; None to read from the beginning."""
    key: Fraction | None
    """Time stamp of the nearest key frame that the first picture can be decoded from; None where it is not known."""
    early: int
    """Pictures that show from that key frame on and before the span."""
    closed: bool
    """Whether no picture around the span is stored after a key frame and shown before it, as in open groups."""
    stamps: tuple[Fraction, ...]
    """Time stamps of the pictures that show, ascending: the first shows when the span begins."""

    @property
    def zero(self) -> Fraction:
        """Time stamp at which the span begins."""
        return _stamp_at(self.media, self.begin)

    @property
    def lacking(self) -> int:
        """How many of `frames` lie after the end of the file."""
        if self.media.length is None:
            return 0
        return max(0, self.frames - nearest_frame(self.media.length - self.begin, self.rate))

    @property
    def even(self) -> bool:
        """Whether there is one picture for each frame, begun when the frame begins."""
        begun = (self.zero + number / self.rate for number in range(len(self.stamps)))
        late = (abs(stamp - start) for stamp, start in zip(self.stamps, begun, strict=True))
        return len(self.stamps) == self.frames - self.lacking and all(off <= self.slack for off in late)

    def source(self) -> list[str]:
        """Arguments for ffmpeg's input. Stamps stay as stored, as ffmpeg otherwise counts them from one stream or
        another by the kind of container."""
        return ["-copyts", *opening(self.media.path, *_seek(self.read_from))]

    def filters(self) -> list[str]:
        """Filters that come first: they let the span's pictures pass, evenly at `rate`, the first at time zero.

        `showinfo` writes each picture's stamp into the log, for `missing_of`. The time base is a microsecond.
        """
        counted = [] if self.media.stamped else [f"setpts=N*1000000/({self.media.rate})"]
        first, zero = _microseconds(self.stamps[0]), _microseconds(self.zero + self.slack)
        return [
            "settb=1/1000000",
            *counted,
            f"trim=start_pts={first - _ROUNDED}",
            "showinfo=checksum=0",
            f"setpts=PTS-({zero})",
            *(["bwdif=mode=send_frame:deint=interlaced"] if self.media.interlaced else []),
            f"fps={self.rate}:round=up:start_time=0",
            "tpad=stop=-1:stop_mode=clone",
        ]

    def missing_of(self, log: str, what: str) -> int:
        """How many of the pictures could not be decoded, by the log of the run that had `filters`.

        Raises ExportError where the first one is among them, or where others came out than the file lists.
        """
        decoded = [int(stamp) for stamp in _DECODED.findall(log)]
        wanted = [_microseconds(stamp) for stamp in self.stamps]
        came = [stamp for stamp in decoded if stamp <= wanted[-1] + _ROUNDED]
        places = _places(came, wanted)
        if not came or places is None or places[0] != 0:
            raise ExportError(f"{what}: other pictures are decoded than the file lists, so that no frame is certain")
        return sum(place not in places and not self._second_field(place) for place in range(len(wanted)))

    def _second_field(self, place: int) -> bool:
        """Whether a stamp is that of a field which is stored apart, and is shown with the one before it."""
        rate = self.media.rate or self.rate
        return self.media.interlaced and 4 * (self.stamps[place] - self.stamps[place - 1]) * rate < 3


def showing_of(cut: Cut, media: Media, frames: int, rate: Fraction) -> Showing:
    """What a cut shows of its file in so many frames at a record rate, a quarter of the shorter frame time allowed.

    Raises what `find_showing` does.
    """
    return find_showing(media, cut.start, frames, rate, 1 / (4 * max(cut.rate, rate)))


def find_showing(media: Media, begin: Fraction, frames: int, rate: Fraction, slack: Fraction) -> Showing:
    """Raises ExportError where no picture shows when the span begins, where the clock is set back in it, and where
    no key frame is found to decode it from."""
    last = begin + (frames - 1) / rate + slack
    if not media.stamped:
        stamps = _counted(media, begin + slack, last)
        if not stamps:
            raise _no_picture(media, begin)
        return Showing(media, begin, rate, frames, slack, None, None, 0, True, stamps)
    for read_from in _seeks(media, begin):
        listed = packets(media.path, *_part(media, read_from, last))
        shown = [stamp for stamp in shown_stamps(listed) if stamp >= media.first_stamp]
        first = max((stamp for stamp in shown if stamp <= _stamp_at(media, begin) + slack), default=None)
        keys = [_known(packet) for packet in listed if first is not None and packet.key and _known(packet) <= first]
        if first is None or not keys:
            continue
        _require_onward(media, listed)
        key = max(keys)
        early = sum(key <= stamp < first for stamp in shown)
        stamps = tuple(stamp for stamp in shown if first <= stamp <= _stamp_at(media, last))
        return Showing(media, begin, rate, frames, slack, read_from, key, early, _closed(media, listed), stamps)
    raise _no_picture(media, begin)


def _closed(media: Media, listed: Sequence[Packet]) -> bool:
    latest: Fraction | None = None
    for packet in listed:
        if packet.key:
            latest = _known(packet)
        elif latest is not None and _known(packet) < latest and media.video_codec in _LEANING:
            return False
    return True


def _seeks(media: Media, begin: Fraction) -> list[Fraction | None]:
    """Where reading may begin, the nearest first; `-ss` counts from the container's start."""
    more = Fraction(0) if media.indexed else _UNINDEXED_MORE
    at = _stamp_at(media, begin) - media.container_start
    return [*(at - early - more for early in _EARLIER if at > early + more), None]


def _part(media: Media, read_from: Fraction | None, last: Fraction) -> list[str]:
    """Input options that read from there to well after the stamp of `last`, seconds from the first picture."""
    end = _stamp_at(media, last) - media.container_start + _LONGER
    return [*_seek(read_from), "-t", f"{float(end - (read_from or 0)):.6f}"]


def _seek(read_from: Fraction | None) -> tuple[str, ...]:
    """Input options to read from the key frame before that second; none to read from the beginning."""
    return () if read_from is None else ("-noaccurate_seek", "-ss", f"{float(read_from):.6f}")


def _counted(media: Media, begin: Fraction, last: Fraction) -> tuple[Fraction, ...]:
    rate = media.rate
    assert rate is not None  # as `probe` asks of files whose pictures are counted
    held = media.frames(rate) or 0
    return tuple(number / rate for number in range(floor(begin * rate), min(floor(last * rate) + 1, held)))


def _stamp_at(media: Media, seconds: Fraction) -> Fraction:
    return seconds + (media.first_stamp if media.stamped else 0)


def _known(packet: Packet) -> Fraction:
    assert packet.shown is not None  # as `probe` asks of files that are not counted
    return packet.shown


def _require_onward(media: Media, listed: Sequence[Packet]) -> None:
    stamps = [packet.decoded for packet in listed if packet.decoded is not None]
    if any(after <= before for before, after in pairwise(stamps)):  # ffmpeg lists the latest again
        raise ExportError(f"{media.path.name}: its clock is set back in the cut, so that no time in it is certain")


def _no_picture(media: Media, begin: Fraction) -> ExportError:
    return ExportError(f"{media.path.name} has no picture at {format_media_time(begin)}")


def _places(came: Sequence[int], wanted: Sequence[int]) -> list[int] | None:
    """Of each stamp that came its place among those wanted; None where one is not among them, in their order."""
    places: list[int] = []
    place = 0
    for stamp in came:
        while place < len(wanted) and wanted[place] < stamp - _ROUNDED:
            place += 1
        if place == len(wanted) or wanted[place] > stamp + _ROUNDED:
            return None
        places.append(place)
        place += 1
    return places


def _microseconds(seconds: Fraction) -> int:
    return nearest_frame(seconds, _MICROSECONDS)
