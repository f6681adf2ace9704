"""Footage on disk: where a file is, and what ffmpeg says of it, read at its edges only."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from fractions import Fraction
from pathlib import Path

from fightnotes.clock import ClockError, nearest_frame, parse_rate
from fightnotes.cutting.ffmpeg import last_lines, run
from fightnotes.errors import ExportError, UnreadableFile
from fightnotes.model import Bout, Record, Recording
from fightnotes.reading.opening import allowed_folders, find_footage

_FORMAT = re.compile(r"^Input #0, ([\w,]+), from", re.MULTILINE)
_DURATION = re.compile(r"^  Duration: (?:N/A|(\d+):(\d\d):(\d\d\.\d+))(?:, start: (-?\d+\.\d+))?", re.MULTILINE)
_VIDEO = re.compile(r"^\s+Stream #0:\d+.*?: Video: (\w+).*", re.MULTILINE)
_AUDIO = re.compile(r"^\s+Stream #0:\d+.*?: Audio: (\w+).*?, (\d+) Hz", re.MULTILINE)
_SIZE = re.compile(r", (\d+)x(\d+)")
_ASPECT = re.compile(r"SAR (\d+):(\d+)")
_RATES = re.compile(r", ([\d.]+) (?:fps|tbr)")
_MICROSECONDS = Fraction(1_000_000)
_FIRST_EDGE = ("-t", "2")
_UNINDEXED = frozenset({"mpegts", "mpeg"})
"""Containers without an index: a seek may land past the key frame that it should have found."""
_RUN_UP = Fraction(15)
"""Seconds that a seek in those begins early; broadcast and camera streams have key frames far more often."""
_LAST_EDGES: tuple[tuple[str, ...], ...] = (("-sseof", "-2"), ("-sseof", "-60"), ())
"""What is read to see a file's end: more where sound runs on after the picture, at last all of it."""


class Media(Record):
    """A file that is there, as ffmpeg reads it."""

    path: Path
    indexed: bool
    """Whether the container lets ffmpeg seek straight to a key frame."""
    container_start: Fraction
    """Time stamp that ffmpeg seeks from."""
    first_stamp: Fraction
    """Time stamp of the first frame of video, in seconds."""
    length: Fraction | None
    """Seconds from the first frame of video to the end of the last; None where the file does not tell."""
    width: int
    height: int
    """Of the stored picture, in pixels."""
    pixel_aspect: Fraction
    rate: Fraction | None
    """As the file says, abbreviated rates made exact; None where it says none."""
    video_codec: str
    audio_codec: str | None
    """None where there is no sound."""
    audio_hertz: int | None = None

    @property
    def has_sound(self) -> bool:
        return self.audio_codec is not None

    def frames(self, rate: Fraction) -> int | None:
        """How many frames the file holds at `rate`."""
        return None if self.length is None else max(1, nearest_frame(self.length, rate))

    def stamp_of(self, frame: int, rate: Fraction) -> Fraction:
        """Time stamp at which a frame begins, in seconds."""
        return self.first_stamp + frame / rate

    def seek_to(self, frame: int, rate: Fraction) -> Fraction:
        """Seconds for `-ss` to land at or before a frame: half a frame early, so that rounding makes no difference,
        and more in a container without an index."""
        run_up = Fraction(0) if self.indexed else _RUN_UP
        wanted = self.stamp_of(frame, rate) - self.container_start - 1 / (2 * rate) - run_up
        return max(Fraction(0), wanted)


def find_media(
    bouts: Iterable[Bout], library: Path, media_roots: Iterable[str] = ()
) -> tuple[dict[str, Media], tuple[str, ...]]:
    """The recordings of the bouts that are at hand, by file as written in the front matter, and what is wrong with
    those that are there and cannot be read, a sentence each.

    A file is looked for in the library, then in each media root; one that must not be opened is among what is wrong.
    """
    folders = allowed_folders(library, media_roots)
    written = dict.fromkeys(
        recording.file for bout in bouts for recording in bout.recordings.values() if recording.file is not None
    )
    found: dict[str, Media] = {}
    unreadable: list[str] = []
    for file in written:
        try:
            path = find_footage(file, folders)
            if path is not None:
                found[file] = probe(path)
        except (ExportError, UnreadableFile) as error:
            unreadable.append(str(error))
    return found, tuple(unreadable)


def recording_lengths(
    bouts: Sequence[Bout], library: Path, media_roots: Iterable[str] = ()
) -> tuple[dict[tuple[str, str], Fraction], tuple[str, ...]]:
    """Seconds of each recording at hand that can be measured, by bout id and name of the recording, and what is wrong
    with those that cannot be read, a sentence each."""
    media, unreadable = find_media(bouts, library, media_roots)
    lengths = {
        (bout.id, name): length
        for bout in bouts
        for name, recording in bout.recordings.items()
        if recording.file in media and (length := media[recording.file].length) is not None
    }
    return lengths, unreadable


def footage_of(recording: Recording, media: Mapping[str, Media]) -> Media | None:
    """The recording's file, where it is at hand; `media` by file as written."""
    return None if recording.file is None else media.get(recording.file)


def probe(path: Path) -> Media:
    """Raises ExportError where ffmpeg finds no video in the file."""
    log = run(["-i", str(path)]).stderr.decode(errors="replace")
    video = _VIDEO.search(log)
    duration = _DURATION.search(log)
    size = _SIZE.search(video.group(0)) if video else None
    if video is None or duration is None or size is None:
        raise ExportError(f"{path}: no video that ffmpeg can read: {last_lines(log)}")
    audio = _AUDIO.search(log)
    aspect = _ASPECT.search(video.group(0))
    packets = _packets(path, _FIRST_EDGE)
    if not packets:
        raise ExportError(f"{path}: no frame of video at the beginning")
    first = min(stamp for stamp, _ in packets)
    kind = _FORMAT.search(log)
    return Media(
        path=path,
        indexed=kind is None or kind.group(1) not in _UNINDEXED,
        container_start=Fraction(duration.group(4) or 0),
        first_stamp=first,
        length=_length(path, first, duration),
        width=int(size.group(1)),
        height=int(size.group(2)),
        pixel_aspect=Fraction(int(aspect.group(1)) or 1, int(aspect.group(2)) or 1) if aspect else Fraction(1),
        rate=_rate(video.group(0)),
        video_codec=video.group(1),
        audio_codec=audio.group(1) if audio else None,
        audio_hertz=int(audio.group(2)) if audio else None,
    )


def _rate(line: str) -> Fraction | None:
    for written in _RATES.findall(line):
        try:
            return parse_rate(written)
        except ClockError:
            continue
    return None


def _length(path: Path, first: Fraction, duration: re.Match[str]) -> Fraction | None:
    for edge in _LAST_EDGES:
        packets = _packets(path, edge)
        if packets:
            return max(stamp + long for stamp, long in packets) - first
    hours, minutes, seconds = duration.group(1, 2, 3)
    if hours is None:
        return None
    return (int(hours) * 60 + int(minutes)) * 60 + Fraction(seconds)


def _packets(path: Path, edge: tuple[str, ...]) -> list[tuple[Fraction, Fraction]]:
    """Time stamp and duration, in seconds, of the video packets that ffmpeg's framecrc lists at one edge.

    Columns of framecrc: stream, decoding stamp, presentation stamp, duration, size, checksum; stamps count in
    the time base of the line `#tb`.
    """
    arguments = [*edge, "-copyts", "-i", str(path), "-map", "0:v:0", "-c", "copy", "-copyinkf", "-f", "framecrc", "-"]
    listing = run(["-v", "error", *arguments]).stdout.decode(errors="replace").splitlines()
    base = next((Fraction(line.split(": ")[1]) for line in listing if line.startswith("#tb 0")), None)
    if base is None:
        return []
    columns = (line.split(",") for line in listing if line and not line.startswith("#"))
    return [(int(column[2]) * base, int(column[3]) * base) for column in columns]


def pictures_from(media: Media, frame: int, rate: Fraction) -> tuple[list[str], list[str]]:
    """Arguments for ffmpeg's input and the filters that come first, so that the first picture is `frame`.

    That picture's stamp is zero, to a microsecond, which is the time base. Stamps are kept as stored up to the
    filters (`-copyts`), as ffmpeg otherwise counts them from one stream or another by the kind of container.
    """
    stamp = media.stamp_of(frame, rate)
    filters = [
        "settb=1/1000000",
        f"trim=start_pts={_microseconds(stamp - 1 / (2 * rate))}",
        f"setpts=PTS-({_microseconds(stamp)})",
    ]
    return _source(media, frame, rate, "0:v:0"), filters


def sound_from(media: Media, frame: int, rate: Fraction, seconds: Fraction) -> tuple[list[str], list[str]]:
    """As `pictures_from`, for so many seconds of sound from the beginning of a frame on."""
    start = media.stamp_of(frame, rate)
    begins, ends = (f"{_microseconds(time)}us" for time in (start, start + seconds))
    filters = [f"atrim=start={begins}:end={ends}", f"asetpts=PTS-({_microseconds(start)})/1000000/TB"]
    return _source(media, frame, rate, "0:a:0"), filters


def _source(media: Media, frame: int, rate: Fraction, stream: str) -> list[str]:
    seek = f"{float(media.seek_to(frame, rate)):.6f}"
    return ["-copyts", "-noaccurate_seek", "-ss", seek, "-i", str(media.path), "-map", stream]


def _microseconds(seconds: Fraction) -> int:
    return nearest_frame(seconds, _MICROSECONDS)
