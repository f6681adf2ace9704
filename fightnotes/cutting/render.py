"""The reel itself: decoded to the frame, evened out, and encoded in one piece.

For each cut one ffmpeg decodes exactly the frames of its event as raw pictures, and the sound that belongs to them;
the pictures are handed to one encoding ffmpeg, so that the reel has no seams and its length is counted, not measured.
While one cut is encoded the next ones are being decoded already. Sound is cut and filled to the sample, encoded beside
the picture, and joined to it at the end.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Generator, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import AbstractContextManager, ExitStack, closing, contextmanager
from dataclasses import dataclass
from fractions import Fraction
from functools import partial
from itertools import islice
from pathlib import Path

from fightnotes.clock import nearest_frame
from fightnotes.cutting.ass import DialogueLine, script
from fightnotes.cutting.burnt_in import clock_lines, reel_styles
from fightnotes.cutting.ffmpeg import (
    Child,
    hand_on,
    missing_characters,
    missing_note,
    named,
    piped,
    require_text_filter,
    run_checked,
)
from fightnotes.cutting.media import Media
from fightnotes.cutting.packets import PICTURE, packets
from fightnotes.cutting.plan import Rendered, RenderPlan, check_ending, described
from fightnotes.cutting.showing import Showing, showing_of
from fightnotes.cutting.timeline import Event
from fightnotes.editing.atomic import made_whole
from fightnotes.errors import ExportError
from fightnotes.index.progress import Progress, Silent

_HERTZ = 48_000
_BYTES_A_SAMPLE = 2
"""Of 16 bits, in each channel."""
_SOUND = ("-c:a", "aac", "-b:a", "192k")
_LOOKED_UP_AT_ONCE = 4
_AHEAD = 2
"""Decoders at work besides the one whose pictures are being encoded."""


@dataclass(frozen=True, slots=True)
class BurntIn:
    """What is drawn on the picture."""

    title: bool = False
    round_clock: bool = False


@dataclass(slots=True)
class _Piece:
    """One cut on its way into the reel."""

    event: Event
    showing: Showing
    decoder: Child
    sounds: list[Path]


def render(
    plan: RenderPlan,
    path: Path,
    burnt_in: BurntIn = BurntIn(),
    progress: Progress = Silent(),  # noqa: B008 (has no state)
) -> Rendered:
    """Encode the reel (H.264 and AAC) to `path`, frame for frame as the plan's timeline says.

    A source at another rate, or one whose rate varies, shows at each instant the frame that it would show. Other
    sizes are scaled to fit and centred on black; missing sound is silence. Where a source ends before its out point,
    its last frame stands, which the notes say.

    `progress` counts cuts looked up, then frames. To cancel, raise from it, or interrupt: nothing is left at `path`,
    and what stood there before stays. Raises ExportError for a suffix other than .mp4, .mov and .mkv, where ffmpeg
    fails, and where it cannot be certain which frames a cut shows.
    """
    check_ending(path)
    if burnt_in.title or burnt_in.round_clock:
        require_text_filter()
    showings = _looked_up(plan, progress)
    notes = [*plan.notes, *(note for event, showing in showings for note in _ends_early(event, showing))]
    progress.begin("rendering", plan.timeline.frames)
    with made_whole(path) as made, ExitStack() as encoders:
        picture = made.with_name(f"picture{path.suffix}")
        sounds = [made.with_name(f"sound-{number}{path.suffix}") for number in range(len(plan.sounds))]
        blank: set[str] = set()
        ahead = _decoded_ahead(plan, showings, burnt_in, made.parent)
        hearing = [
            encoders.enter_context(_sound_encoder(channels, sound))
            for channels, sound in zip(plan.sounds, sounds, strict=True)
        ]
        with _encoder(plan, picture) as encoder, closing(ahead) as pieces:
            for piece in pieces:
                _hand_pictures(plan, piece, encoder, progress)
                log = piece.decoder.ended()
                blank |= missing_characters(log)
                lost = piece.showing.missing_of(log, _what(piece.event, piece.showing.media))
                if lost:
                    notes.append(f"Cut {piece.event.number}: {lost} frames cannot be decoded; those before them stand.")
                _hand_sounds(plan, piece, hearing)
        encoders.close()
        _join(plan, picture, sounds, made)
        _require_all(plan, made)
    notes += missing_note(blank)
    timeline = plan.timeline
    seconds = timeline.seconds(timeline.frames)
    return Rendered(path, seconds, timeline.frames, timeline.rate, plan.missing_notes, tuple(notes))


def _looked_up(plan: RenderPlan, progress: Progress) -> list[tuple[Event, Showing]]:
    """What each cut shows, known before any work is done."""
    events = plan.timeline.events
    progress.begin("looking up the cuts", len(events))
    found: list[tuple[Event, Showing]] = []
    with ThreadPoolExecutor(_LOOKED_UP_AT_ONCE) as pool:
        for event, showing in zip(events, pool.map(partial(_look_up, plan), events, plan.media), strict=True):
            found.append((event, showing))
            progress.advance(1)
    return found


def _look_up(plan: RenderPlan, event: Event, media: Media) -> Showing:
    try:
        return showing_of(event.cut, media, event.frames, plan.timeline.rate)
    except ExportError as error:
        raise ExportError(f"cut {event.number}: {error}") from error


def _ends_early(event: Event, showing: Showing) -> tuple[str, ...]:
    if not showing.lacking:
        return ()
    return (f"Cut {event.number}: the footage ends {showing.lacking} frames early; its last frame stands.",)


@contextmanager
def _encoder(plan: RenderPlan, picture: Path) -> Iterator[Child]:
    raw = ["-f", "rawvideo", "-pix_fmt", "yuv420p", "-s", f"{plan.width}x{plan.height}"]
    arguments = [*raw, "-r", str(plan.timeline.rate), "-i", "pipe:0", *plan.encoding, "-y", named(picture)]
    broken = False
    with piped(["-loglevel", "warning", *arguments], "encoding the picture") as encoder:
        try:
            yield encoder
        except BrokenPipeError:
            broken = True  # it stopped by itself: its exit status and last words say why
    if broken:
        raise ExportError("encoding the picture and its sound: an encoder stopped before the end")


def _sound_encoder(channels: int, sound: Path) -> AbstractContextManager[Child]:
    """It works beside the picture's, into the reel's own kind of file, which keeps the encoder's delay alike."""
    raw = ["-f", "s16le", "-ar", str(_HERTZ), "-ac", str(channels), "-i", "pipe:0"]
    return piped(["-loglevel", "warning", *raw, *_SOUND, "-y", named(sound)], "encoding the sound")


def _decoded_ahead(
    plan: RenderPlan, showings: list[tuple[Event, Showing]], burnt_in: BurntIn, folder: Path
) -> Generator[_Piece]:
    """The pieces in their order, each with its decoder at work; those of the next ones work already, too."""
    with ExitStack() as every:
        coming, ahead = iter(showings), deque[tuple[ExitStack, _Piece]]()
        while True:
            for event, showing in islice(coming, _AHEAD + 1 - len(ahead)):
                one = every.enter_context(ExitStack())
                ahead.append((one, one.enter_context(_piece(plan, event, showing, burnt_in, folder))))
            if not ahead:
                return
            one, piece = ahead.popleft()
            with one:
                yield piece


@contextmanager
def _piece(plan: RenderPlan, event: Event, showing: Showing, burnt_in: BurntIn, folder: Path) -> Iterator[_Piece]:
    filters = [*showing.filters(), *_fitted(plan, showing.media), *_drawn(plan, event, burnt_in, folder)]
    arguments = [*showing.source(), "-map", PICTURE, "-vf", ",".join(filters), "-frames:v", str(event.frames)]
    arguments += ["-fps_mode", "passthrough", "-f", "rawvideo", "-pix_fmt", "yuv420p", "pipe:1"]
    sounds: list[Path] = []
    for number in range(min(len(showing.media.channels), len(plan.sounds))):
        sounds.append(folder / f"cut-{event.number}-{number}.raw")
        arguments += [*_sound_of(plan, event, showing, number), "-y", sounds[-1].name]
    with piped(["-nostats", *arguments], _what(event, showing.media), folder) as decoder:
        yield _Piece(event, showing, decoder, sounds)


def _fitted(plan: RenderPlan, media: Media) -> list[str]:
    """Filters to the reel's size."""
    width, height = plan.width, plan.height
    if (media.width, media.height) == (width, height) and media.pixel_aspect == 1:
        return []
    return [
        "scale=iw*sar:ih",
        f"scale={width}:{height}:force_original_aspect_ratio=decrease:force_divisible_by=2",
        f"pad={width}:{height}:-1:-1",
        "setsar=1",
    ]


def _drawn(plan: RenderPlan, event: Event, burnt_in: BurntIn, folder: Path) -> list[str]:
    """The filter that draws the text, where there is any."""
    cut, rate = event.cut, plan.timeline.rate
    lines = [DialogueLine(cut.title, 0, event.frames, "title")] if burnt_in.title else []
    if burnt_in.round_clock:
        lines += clock_lines(cut, event.frames, rate)
    if not lines:
        return []
    text = script(lines, reel_styles(plan.width, plan.height), plan.width, plan.height, rate)
    file = folder / f"text-{event.number}.ass"
    file.write_text(text, encoding="utf-8")
    return [f"ass={file.name}"]


def _sound_of(plan: RenderPlan, event: Event, showing: Showing, number: int) -> list[str]:
    """Output arguments for one stream of an event's sound, as raw samples from its beginning on."""
    start = showing.media.first_stamp + showing.begin
    seconds = Fraction(_samples(plan, event), _HERTZ)
    begins, ends = (f"{nearest_frame(time, Fraction(1_000_000))}us" for time in (start, start + seconds))
    filters = [
        f"atrim=start={begins}:end={ends}",
        f"asetpts=PTS-({begins.removesuffix('us')})/1000000/TB",
        "aresample=async=1:first_pts=0",
    ]
    if (showing.media.channels[number], plan.sounds[number]) == (1, 2):
        filters.append("pan=stereo|c0=c0|c1=c0")  # as loud on both sides as it was
    out = ["-ac", str(plan.sounds[number]), "-ar", str(_HERTZ), "-f", "s16le"]
    return ["-map", f"0:a:{number}", "-af", ",".join(filters), *out]


def _hand_pictures(plan: RenderPlan, piece: _Piece, encoder: Child, progress: Progress) -> None:
    """Raises ExportError where the decoder gives fewer frames than the event has."""
    size = plan.width * plan.height + 2 * (-(-plan.width // 2) * -(-plan.height // 2))  # bytes of a yuv420p picture
    handed = told = 0
    while count := hand_on(piece.decoder, encoder):
        handed += count
        progress.advance(handed // size - told)
        told = handed // size
    if handed != piece.event.frames * size:
        piece.decoder.ended()  # which tells of its own failure first
        raise ExportError(
            f"{_what(piece.event, piece.showing.media)}: {told} of {piece.event.frames} frames were decoded"
        )


def _samples(plan: RenderPlan, event: Event) -> int:
    begin, end = (
        nearest_frame(plan.timeline.seconds(frame), Fraction(_HERTZ))
        for frame in (event.start_frame, event.end_frame_exclusive)
    )
    return end - begin


def _hand_sounds(plan: RenderPlan, piece: _Piece, encoders: list[Child]) -> None:
    """Hand over the samples of one event, cut or filled with silence to the timeline."""
    for number, encoder in enumerate(encoders):
        wanted = _samples(plan, piece.event) * plan.sounds[number] * _BYTES_A_SAMPLE
        samples = b""
        if number < len(piece.sounds):
            samples = piece.sounds[number].read_bytes()[:wanted]
            piece.sounds[number].unlink()
        encoder.write(samples.ljust(wanted, b"\0"))


def _join(plan: RenderPlan, picture: Path, sounds: list[Path], made: Path) -> None:
    parts = [picture, *sounds]
    arguments = ["-loglevel", "warning", *(word for part in parts for word in ("-i", named(part)))]
    maps = [word for number in range(len(parts)) for word in ("-map", str(number))]
    arguments += [*maps, "-c", "copy", "-movflags", "+faststart", *described(plan), "-y", named(made)]
    run_checked(arguments, "joining picture and sound")


def _require_all(plan: RenderPlan, made: Path) -> None:
    """Raises ExportError where the encoder lost or made up frames."""
    frames = len(packets(made))
    if frames != plan.timeline.frames:
        raise ExportError(f"the reel came out with {frames} frames, {plan.timeline.frames} are in the list")


def _what(event: Event, media: Media) -> str:
    return f"cut {event.number}, {media.path.name}"
