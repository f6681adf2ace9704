"""The reel itself: decoded to the frame, evened out, and encoded in one piece.

For each cut one ffmpeg decodes exactly the frames of its event as raw pictures; they are handed to one encoding
ffmpeg, so that the reel has no seams and its length is counted, not measured. Sound is decoded beside, cut and
filled to the sample, and joined at the end.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from typing import IO

from fightnotes.clock import nearest_frame
from fightnotes.cutting.ass import DialogueLine, script
from fightnotes.cutting.burnt_in import clock_lines, reel_styles
from fightnotes.cutting.ffmpeg import missing_characters, missing_note, piped, require_text_filter, run_checked
from fightnotes.cutting.media import Media, pictures_from, sound_from
from fightnotes.cutting.plan import Rendered, RenderPlan, check_ending, described
from fightnotes.cutting.timeline import Event
from fightnotes.editing.atomic import made_whole
from fightnotes.errors import ExportError
from fightnotes.index.progress import Progress, Silent

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


def render(
    plan: RenderPlan,
    path: Path,
    burnt_in: BurntIn = BurntIn(),
    progress: Progress = Silent(),  # noqa: B008 (has no state)
) -> Rendered:
    """Encode the reel (H.264 and AAC) to `path`, frame for frame as the plan's timeline says.

    A source at another rate shows at each instant the frame that it would show. Other sizes are scaled to fit
    and centred on black; missing sound is silence. Where a source ends before its out point, its last frame
    stands, which the notes say.

    `progress` counts frames. To cancel, raise from it, or interrupt: nothing is left at `path`, and what stood
    there before stays. Raises ExportError for a suffix other than .mp4, .mov and .mkv, and where ffmpeg fails.
    """
    check_ending(path)
    if burnt_in.title or burnt_in.round_clock:
        require_text_filter()
    notes = list(plan.notes)
    blank: set[str] = set()
    progress.begin("rendering", plan.timeline.frames)
    with made_whole(path) as made:
        picture, sound = made.with_name(f"picture{path.suffix}"), made.with_name("sound.raw")
        with _encoder(plan, picture) as frames_in, sound.open("wb") as sound_in:
            for event, media in zip(plan.timeline.events, plan.media, strict=True):
                lacking, unknown = _pass_frames(plan, event, media, burnt_in, made.parent, frames_in, progress)
                if lacking:
                    notes.append(f"Cut {event.number}: the footage ends {lacking} frames early; its last frame stands.")
                blank |= unknown
                if plan.sound:
                    _pass_sound(plan, event, media, sound_in)
        _join(plan, picture, sound, made)
    notes += missing_note(blank)
    timeline = plan.timeline
    seconds = timeline.seconds(timeline.frames)
    return Rendered(path, seconds, timeline.frames, timeline.rate, plan.missing_notes, tuple(notes))


@contextmanager
def _encoder(plan: RenderPlan, picture: Path) -> Iterator[IO[bytes]]:
    raw = ["-f", "rawvideo", "-pix_fmt", "yuv420p", "-s", f"{plan.width}x{plan.height}"]
    arguments = [*raw, "-r", str(plan.timeline.rate), "-i", "pipe:0", *_PICTURE, "-y", str(picture)]
    broken = False
    with piped(arguments, "encoding the picture") as encoder:
        try:
            yield encoder.into
        except BrokenPipeError:
            broken = True  # it stopped by itself: its exit status and last words say why
    if broken:
        raise ExportError("encoding the picture: the encoder stopped before the end")


def _pass_frames(
    plan: RenderPlan,
    event: Event,
    media: Media,
    burnt_in: BurntIn,
    folder: Path,
    frames_in: IO[bytes],
    progress: Progress,
) -> tuple[int, set[str]]:
    """Hand the frames of one event to the encoder; how many the source lacked at its end, and which characters of
    the text no font has.

    Raises ExportError where it has none at all.
    """
    cut, size = event.cut, plan.width * plan.height * 3 // 2
    source, filters = pictures_from(media, cut.start_frame, cut.rate)
    filters += _evened(plan, event)
    lines = [DialogueLine(cut.title, 0, event.frames, "title")] if burnt_in.title else []
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
    with piped(arguments, f"cut {event.number}, {media.path.name}", folder) as decoder:
        while frame := decoder.out.read(size):
            last, made = frame, made + 1
            frames_in.write(frame)
            progress.advance(1)
    if not made:
        raise ExportError(f"cut {event.number}: {media.path.name} has no picture at frame {cut.start_frame}")
    for _ in range(made, event.frames):
        frames_in.write(last)
        progress.advance(1)
    return event.frames - made, missing_characters(decoder.log)


def _evened(plan: RenderPlan, event: Event) -> list[str]:
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


def _pass_sound(plan: RenderPlan, event: Event, media: Media, sound_in: IO[bytes]) -> None:
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
        with piped(arguments, f"sound of cut {event.number}, {media.path.name}") as decoder:
            while wanted and (samples := decoder.out.read(min(wanted, 1 << 20))):
                sound_in.write(samples)
                wanted -= len(samples)
            decoder.out.read()
    sound_in.write(bytes(wanted))


def _join(plan: RenderPlan, picture: Path, sound: Path, made: Path) -> None:
    arguments = ["-loglevel", "warning", "-i", str(picture)]
    if plan.sound:
        arguments += ["-f", "s16le", "-ar", str(_HERTZ), "-ac", "2", "-i", str(sound), *_SOUND]
    arguments += ["-c:v", "copy", "-movflags", "+faststart", *described(plan), "-y", str(made)]
    run_checked(arguments, "joining picture and sound")
