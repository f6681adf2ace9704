"""What ffmpeg says of a file: read at its edges where the container has an index, from end to end where it has none."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from pathlib import Path
from statistics import median

from fightnotes.clock import ClockError, format_media_time, parse_rate
from fightnotes.cutting.ffmpeg import last_lines, opening, run
from fightnotes.cutting.media import Media
from fightnotes.cutting.packets import PICTURE, TO_LIST, Packet, packets, read_listing, shown_stamps
from fightnotes.errors import ExportError

_FORMAT = re.compile(r"^Input #0, ([\w,]+), from", re.MULTILINE)
_DURATION = re.compile(r"^  Duration: (?:N/A|(\d+):(\d\d):(\d\d\.\d+))(?:, start: (-?\d+\.\d+))?", re.MULTILINE)
_VIDEO = re.compile(r"^\s+Stream #0:\d+.*?: Video: (\w+)(?!.*\(attached pic\)).*", re.MULTILINE)
_AUDIO = re.compile(r"^\s+Stream #0:\d+.*?: Audio: (\w+).*?, (\d+) Hz, ([^,\n]+)", re.MULTILINE)
_AVERAGE = re.compile(r", ([\d.]+) fps")
_EVEN = re.compile(r", ([\d.]+) tbr")
_TIMECODE = re.compile(r"timecode *(?::|-) *(\d\d:\d\d:\d\d[:;]\d\d)", re.IGNORECASE)
_BASE = re.compile(r"config in time_base: (\d+/\d+)")
_FIRST_PICTURE = re.compile(
    r"n: *0 pts: *(-?\d+).* sar:(?P<across>\d+)/(?P<down>\d+) s:(?P<width>\d+)x(?P<height>\d+) i:(?P<fields>\w)"
)
_CHANNELS = {"mono": 1, "stereo": 2, "quad": 4, "5.1": 6, "5.1(side)": 6, "7.1": 8}
_UNINDEXED = frozenset({"mpegts", "mpeg"})
"""Containers without an index: they are read from end to end, as nothing else tells whether their clock is whole."""
_UNEVEN = Fraction(1, 1000)
"""Part by which the average must differ from the even rate; less comes of rounding in the file's head."""
_FIRST_EDGE = ("-t", "2")
_LAST_EDGES: tuple[tuple[str, ...], ...] = (("-sseof", "-2"), ("-sseof", "-60"), ())
"""What is read to see a file's end: more where sound runs on after the picture, at last all of it."""


@dataclass(frozen=True, slots=True)
class _Beginning:
    """What one run of ffmpeg tells: its log of the file and of the first picture, decoded, and the first packets."""

    log: str
    video: re.Match[str]
    duration: re.Match[str]
    picture: re.Match[str]
    first_stamp: Fraction
    listed: list[Packet]

    @property
    def container_start(self) -> Fraction:
        return Fraction(self.duration.group(4) or 0)


def probe(path: Path) -> Media:
    """Raises ExportError where ffmpeg finds no picture in the file, and where its pictures have no certain times."""
    begun = _beginning(path)
    kind = _FORMAT.search(begun.log)
    indexed = kind is None or kind.group(1) not in _UNINDEXED
    stamped = _stamped(begun.listed)
    whole = [] if indexed and stamped else packets(path)
    rate, average = _rates(begun, whole)
    if whole:
        stamped = _stamped(whole)
        _require_onward(path, whole, begun.first_stamp)
    if not stamped:
        _require_even(path, whole, rate)
    length = len(_visible(whole)) / rate if rate and not stamped else _length(path, begun, whole)
    audio = _AUDIO.findall(begun.log)
    picture = begun.picture
    return Media(
        path=path,
        indexed=indexed,
        stamped=stamped,
        container_start=begun.container_start,
        first_stamp=begun.first_stamp,
        length=length,
        width=int(picture["width"]),
        height=int(picture["height"]),
        pixel_aspect=Fraction(int(picture["across"]) or 1, int(picture["down"]) or 1),
        rate=rate,
        average_rate=average if stamped else None,
        interlaced=picture["fields"] in "TB",
        timecode=_timecode(begun.log),
        video_codec=begun.video.group(1),
        audio_codec=audio[0][0] if audio else None,
        audio_hertz=int(audio[0][1]) if audio else None,
        channels=tuple(_channels(layout) for _, _, layout in audio),
    )


def _beginning(path: Path) -> _Beginning:
    looked = ["-map", PICTURE, "-frames:v", "1", "-vf", "showinfo=checksum=0", "-f", "null", "-"]
    done = run(["-nostats", "-copyts", *opening(path, *_FIRST_EDGE), *TO_LIST, *looked])
    log = done.stderr.decode(errors="replace")
    if "whitelist" in log:
        raise ExportError(f"{path}: no film but a list of other files, or a kind of file that is not opened")
    video, duration = _VIDEO.search(log), _DURATION.search(log)
    if video is None or duration is None:
        raise ExportError(f"{path}: no video that ffmpeg can read: {last_lines(log)}")
    base, picture = _BASE.search(log), _FIRST_PICTURE.search(log)
    if base is None or picture is None:
        raise ExportError(f"{path}: no frame of video at the beginning")
    first = int(picture.group(1)) * Fraction(base.group(1))
    return _Beginning(log, video, duration, picture, first, read_listing(done.stdout))


def _stamped(listed: Sequence[Packet]) -> bool:
    return all(packet.shown is not None for packet in listed)


def _visible(listed: Sequence[Packet]) -> list[Packet]:
    return [packet for packet in listed if not packet.hidden]


def _rates(begun: _Beginning, whole: Sequence[Packet]) -> tuple[Fraction | None, Fraction | None]:
    """The rate, and the average where it is another: then the pictures do not come evenly.

    Of the average and the even rate that the file's head gives, it is the one that the usual step between pictures
    is nearer to: the even one of interlaced footage may count fields.
    """
    line = begun.video.group(0)
    average, even = (_rate(pattern.search(line)) for pattern in (_AVERAGE, _EVEN))
    steps = _steps(begun, whole)
    if average is None or even is None:
        rate, differ = average or even, False
    else:
        differ = abs(average - even) >= even * _UNEVEN
        usual = median(steps) if steps else 1 / average
        rate = min(average, even, key=lambda rate: abs(1 / rate - usual))
    if rate is None:
        return None, None
    if differ and rate == even:
        return rate, average
    if all(abs(step - 1 / rate) <= 1 / (4 * rate) for step in steps):
        return rate, None
    return rate, len(steps) / sum(steps, Fraction(0))


def _steps(begun: _Beginning, whole: Sequence[Packet]) -> list[Fraction]:
    """Seconds from picture to picture, in the part that was read."""
    stamps = [stamp for stamp in shown_stamps(whole or begun.listed) if stamp >= begun.first_stamp]
    stamps = stamps if whole else stamps[:-2]  # what was read may end before all that is shown by then
    return [after - before for before, after in pairwise(stamps)]


def _rate(written: re.Match[str] | None) -> Fraction | None:
    if written is None:
        return None
    try:
        return parse_rate(written.group(1))
    except ClockError:
        return None


def _require_onward(path: Path, whole: Sequence[Packet], first: Fraction) -> None:
    """Raises ExportError where the clock is set back within the file: a time would then name two pictures.

    ffmpeg lists the latest decoding stamp again until the clock has caught up.
    """
    latest = None
    for packet in whole:
        if packet.decoded is None:
            continue
        if latest is not None and packet.decoded <= latest:
            where = format_media_time(max(Fraction(0), latest - first), decimals=0)
            raise ExportError(
                f"{path}: its clock is set back after {where}, so that times in it are not certain: copy it into "
                "another container first (ffmpeg -i FILE -c copy FILE.mkv), and time the notes on that"
            )
        latest = packet.decoded


def _require_even(path: Path, whole: Sequence[Packet], rate: Fraction | None) -> None:
    """Raises ExportError where pictures without times of their own cannot be counted as one each frame time.

    What stamps there are must keep step with the count, and the first visible packet is taken for frame 0.
    """
    counted = list(enumerate(_visible(whole)))
    known = [(number, packet.decoded) for number, packet in counted if packet.decoded is not None]
    if rate and known:
        begin, start = known[0]
        if all(abs(decoded - start - (number - begin) / rate) <= 1 / (2 * rate) for number, decoded in known):
            return
    raise ExportError(
        f"{path}: its pictures carry no times of their own and do not come evenly, so that none is certain: convert "
        "it first (ffmpeg -i FILE FILE.mp4), and time the notes on that"
    )


def _length(path: Path, begun: _Beginning, whole: Sequence[Packet]) -> Fraction | None:
    for edge in _LAST_EDGES:
        listed = whole or packets(path, *edge)
        ends = [packet.shown + packet.lasts for packet in listed if packet.shown is not None and not packet.hidden]
        if ends and max(ends) > begun.first_stamp:
            return max(ends) - begun.first_stamp
    hours, minutes, seconds = begun.duration.group(1, 2, 3)
    if hours is None:
        return None
    return (int(hours) * 60 + int(minutes)) * 60 + Fraction(seconds)


def _timecode(log: str) -> str | None:
    """The first that the file states, of the container, a timecode track or the first picture; zero tells nothing."""
    written = _TIMECODE.search(log)
    return None if written is None or set(written.group(1)) <= set("0:;") else written.group(1)


def _channels(layout: str) -> int:
    counted = re.match(r"(\d+) channels", layout)
    return int(counted.group(1)) if counted else _CHANNELS.get(layout.strip(), 2)
