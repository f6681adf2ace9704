"""The reel itself: decoded to the frame, evened out, and encoded in one piece.

For each cut one ffmpeg decodes exactly the frames of its event as raw pictures; they are handed to one encoding
ffmpeg, so that the reel has no seams and its length is counted, not measured. Sound is decoded beside, cut and
filled to the sample, and joined at the end.
"""

from __future__ import annotations

import subprocess
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from fractions import Fraction
from pathlib import Path
from typing import IO

from fightnotes.clock import nearest_frame
from fightnotes.cutting.ass import script
from fightnotes.cutting.burnt_in import clock_lines, reel_styles, title_line
from fightnotes.cutting.cautions import CAUTIONS
from fightnotes.cutting.ffmpeg import (
    ffmpeg_path,
    last_lines,
    missing_characters,
    missing_note,
    require_text_filter,
    run_checked,
)
from fightnotes.cutting.media import Media, pictures_from, sound_from
from fightnotes.cutting.plan import Plan
from fightnotes.cutting.timeline import Event
from fightnotes.cutting.whole_file import made_whole
from fightnotes.errors import ExportError

_SUFFIXES = (".mp4", ".mov", ".mkv")
_HERTZ = 48_000
_BYTES_A_SAMPLE = 4
"""Two channels of 16 bits."""
_PICTURE = ("-c:v", "libx264", "-preset", "medium", "-crf", "18", "-pix_fmt", "yuv420p")
_SOUND = ("-c:a", "aac", "-b:a", "192k")


@dataclass(frozen=True, slots=True)
class BurntIn:
    """What is drawn on the picture."""

    title: bool = False
    round_clock: bool = False


@dataclass(frozen=True, slots=True)
class Progress:
    frames: int
    """Frames made so far."""
    of_frames: int
    cut: int
    """Number of the cut at work, from 1."""
    seconds_left: float | None
    """Estimated from the pace so far; None before the first frame."""


@dataclass(frozen=True, slots=True)
class Rendered:
    path: Path
    frames: int
    rate: Fraction
    notes: tuple[str, ...]
    """What was evened out or did not come out as listed, a sentence each."""


@dataclass(slots=True)
class _Pace:
    total: int
    report: Callable[[Progress], None]
    began: float = field(default_factory=time.monotonic)
    made: int = 0

    def step(self, cut: int) -> None:
        self.made += 1
        left = (time.monotonic() - self.began) / self.made * (self.total - self.made)
        self.report(Progress(self.made, self.total, cut, left))


def render(
    plan: Plan,
    path: Path,
    burnt_in: BurntIn = BurntIn(),
    on_progress: Callable[[Progress], None] = lambda progress: None,
) -> Rendered:
    """Encode the reel (H.264 and AAC) to `path`, frame for frame as the plan's timeline says.

    A source at another rate shows at each instant the frame that it would show. Other sizes are scaled to fit
    and centred on black; missing sound is silence. Where a source ends before its out point, its last frame
    stands, which the notes say.

    To cancel, raise from `on_progress`, or interrupt: nothing is left at `path`, and what stood there before
    stays. Raises ExportError for a suffix other than .mp4, .mov and .mkv, and where ffmpeg fails.
    """
    if path.suffix.lower() not in _SUFFIXES:
        raise ExportError(f"{path.name}: a reel is written as {', '.join(_SUFFIXES)}")
    if burnt_in.title or burnt_in.round_clock:
        require_text_filter()
    notes = list(plan.notes)
    missing: set[str] = set()
    pace = _Pace(plan.timeline.frames, on_progress)
    on_progress(Progress(0, pace.total, 1, None))
    with made_whole(path) as made:
        picture, sound = made.with_name(f"picture{path.suffix}"), made.with_name("sound.raw")
        with _encoder(plan, picture) as frames_in, sound.open("wb") as sound_in:
            for event, media in zip(plan.timeline.events, plan.media, strict=True):
                lacking, blank = _pass_frames(plan, event, media, burnt_in, made.parent, frames_in, pace)
                if lacking:
                    notes.append(f"Cut {event.number}: the footage ends {lacking} frames early; its last frame stands.")
                missing |= blank
                if plan.sound:
                    _pass_sound(plan, event, media, sound_in)
        _join(plan, picture, sound, made)
    return Rendered(path, plan.timeline.frames, plan.timeline.rate, (*notes, *missing_note(missing)))


@dataclass(slots=True)
class _Child:
    process: subprocess.Popen[bytes]
    log: str = ""
    """What it said, once it has ended well."""

    @property
    def into(self) -> IO[bytes]:
        assert self.process.stdin is not None
        return self.process.stdin

    @property
    def out(self) -> IO[bytes]:
        assert self.process.stdout is not None
        return self.process.stdout


@contextmanager
def _child(arguments: list[str], doing: str, folder: Path | None = None) -> Iterator[_Child]:
    """An ffmpeg with pipes, apart from the terminal so that an interrupt reaches it only through us. It is killed
    where the block raises. Raises ExportError where it fails."""
    command = [ffmpeg_path(), "-hide_banner", "-nostdin", "-loglevel", "warning", *arguments]
    with tempfile.TemporaryFile() as log:
        process = subprocess.Popen(
            command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=log, cwd=folder, start_new_session=True
        )
        child = _Child(process)
        try:
            yield child
            _close(child.into)
            status = process.wait()
        finally:
            if process.poll() is None:
                process.kill()
                process.wait()
            _close(child.into)
            _close(child.out)
        log.seek(0)
        child.log = log.read().decode(errors="replace")
    if status:
        raise ExportError(f"{doing}: {last_lines(child.log)}")


def _close(pipe: IO[bytes]) -> None:
    with suppress(BrokenPipeError):  # the other end is gone, and what was still buffered is not wanted any more
        pipe.close()


@contextmanager
def _encoder(plan: Plan, picture: Path) -> Iterator[IO[bytes]]:
    raw = ["-f", "rawvideo", "-pix_fmt", "yuv420p", "-s", f"{plan.width}x{plan.height}"]
    arguments = [*raw, "-r", str(plan.timeline.rate), "-i", "pipe:0", *_PICTURE, "-y", str(picture)]
    broken = False
    with _child(arguments, "encoding the picture") as encoder:
        try:
            yield encoder.into
        except BrokenPipeError:
            broken = True  # it stopped by itself: its exit status and last words say why
    if broken:
        raise ExportError("encoding the picture: the encoder stopped before the end")


def _pass_frames(
    plan: Plan, event: Event, media: Media, burnt_in: BurntIn, folder: Path, frames_in: IO[bytes], pace: _Pace
) -> tuple[int, set[str]]:
    """Hand the frames of one event to the encoder; how many the source lacked at its end, and which characters of
    the text no font has.

    Raises ExportError where it has none at all.
    """
    cut, size = event.cut, plan.width * plan.height * 3 // 2
    source, filters = pictures_from(media, cut.start_frame, cut.rate)
    filters += _evened(plan, event)
    lines = [title_line(cut, event.frames)] if burnt_in.title else []
    if burnt_in.round_clock:
        lines += clock_lines(cut, event.frames, plan.timeline.rate)
    if lines:
        text = script(lines, reel_styles(plan.height), plan.width, plan.height, plan.timeline.rate)
        (folder / "text.ass").write_text(text, encoding="utf-8")
        filters.append("ass=text.ass")
    arguments = [
        *(*source, "-vf", ",".join(filters)),
        *("-frames:v", str(event.frames), "-f", "rawvideo", "-pix_fmt", "yuv420p", "pipe:1"),
    ]
    last, made = b"", 0
    with _child(arguments, f"cut {event.number}, {media.path.name}", folder) as decoder:
        while frame := decoder.out.read(size):
            last, made = frame, made + 1
            frames_in.write(frame)
            pace.step(event.number)
    if not made:
        raise ExportError(f"cut {event.number}: {media.path.name} has no picture at frame {cut.start_frame}")
    for _ in range(made, event.frames):
        frames_in.write(last)
        pace.step(event.number)
    return event.frames - made, missing_characters(decoder.log)


def _evened(plan: Plan, event: Event) -> list[str]:
    """Filters to the record rate, then to the reel's size.

    A record frame shows the last source frame that has begun by then. Stamps are taken a quarter of the shorter
    frame time early first, so that rounding in the container makes no difference.
    """
    slack = 1 / (4 * max(event.cut.rate, plan.timeline.rate))
    width, height = plan.width, plan.height
    return [
        f"setpts=PTS-{nearest_frame(slack, Fraction(1_000_000))}",
        f"fps={plan.timeline.rate}:round=up:start_time=0",
        "scale=iw*sar:ih",
        f"scale={width}:{height}:force_original_aspect_ratio=decrease:force_divisible_by=2",
        f"pad={width}:{height}:-1:-1",
        "setsar=1",
    ]


def _pass_sound(plan: Plan, event: Event, media: Media, sound_in: IO[bytes]) -> None:
    """Write the samples of one event, cut or filled with silence to the timeline."""
    begin, end = (
        nearest_frame(plan.timeline.seconds(frame), Fraction(_HERTZ))
        for frame in (event.start_frame, event.end_frame_exclusive)
    )
    wanted = (end - begin) * _BYTES_A_SAMPLE
    if media.has_sound:
        seconds = Fraction(end - begin, _HERTZ)
        source, filters = sound_from(media, event.cut.start_frame, event.cut.rate, seconds)
        filters.append("aresample=async=1:first_pts=0")
        arguments = [*source, "-af", ",".join(filters), "-ac", "2", "-ar", str(_HERTZ), "-f", "s16le", "pipe:1"]
        with _child(arguments, f"sound of cut {event.number}, {media.path.name}") as decoder:
            while wanted and (samples := decoder.out.read(min(wanted, 1 << 20))):
                sound_in.write(samples)
                wanted -= len(samples)
            decoder.out.read()
    sound_in.write(bytes(wanted))


def _join(plan: Plan, picture: Path, sound: Path, made: Path) -> None:
    arguments = ["-loglevel", "warning", "-i", str(picture)]
    if plan.sound:
        arguments += ["-f", "s16le", "-ar", str(_HERTZ), "-ac", "2", "-i", str(sound), *_SOUND]
    arguments += ["-c:v", "copy", "-movflags", "+faststart", "-metadata", f"title={plan.cut_list.title}"]
    arguments += ["-metadata", f"comment={' '.join(CAUTIONS)}", "-y", str(made)]
    run_checked(arguments, "joining picture and sound")
