"""A reel without encoding: fast and lossless, and exact only where key frames let it."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

from fightnotes.cutting.ffmpeg import named, opening, run_checked
from fightnotes.cutting.packets import PICTURE, packets
from fightnotes.cutting.plan import Rendered, RenderPlan, check_ending, described
from fightnotes.cutting.probing import probe
from fightnotes.cutting.showing import OPEN_GROUPS, Showing, showing_of
from fightnotes.editing.atomic import made_whole
from fightnotes.errors import ExportError
from fightnotes.index.progress import Progress, Silent

INACCURACY = (
    "Stream copy is not exact: each cut begins at the key frame at or before its in point, often seconds early, and "
    "sound and picture may part by some frames at the joins."
)
_EARLIER = Fraction(1, 2)
"""Seconds that reading begins before a key frame where a seek to it lands late."""


def stream_copy(plan: RenderPlan, path: Path, progress: Progress = Silent()) -> Rendered:  # noqa: B008
    """Join the cuts to `path` as they are stored; the notes state the inaccuracy and how great it is.

    Every frame of every cut is in the reel, which is checked, and where a cut does not begin with a key frame those
    from the one before it are, too. `progress` counts cuts; raise from it to cancel: no file is left. Raises
    ExportError for a suffix other than .mp4, .mov and .mkv, where ffmpeg fails, where the sources differ in codec,
    size or sound, as copied streams cannot be evened out, and where they cannot be copied without harm.
    """
    check_ending(path)
    _require_alike(plan)
    cuts = plan.cut_list.cuts
    showings = [showing_of(cut, media, cut.frames, cut.rate) for cut, media in zip(cuts, plan.media, strict=True)]
    progress.begin("copying", len(showings))
    extra = 0
    with made_whole(path) as made:
        folder = made.parent
        for number, showing in enumerate(showings, start=1):
            extra += _copied(number, showing, folder)
            progress.advance(1)
        listing = "ffconcat version 1.0\n" + "".join(f"file {number}.mkv\n" for number in range(1, len(showings) + 1))
        (folder / "pieces.ffconcat").write_text(listing, encoding="ascii")
        joined = ["-loglevel", "warning", "-f", "concat", "-i", "pieces.ffconcat", "-map", "0", "-c", "copy"]
        joined += ["-movflags", "+faststart", *described(plan), "-y", made.name]
        run_checked(joined, "joining the cuts", folder)
        copied = probe(made)
        _require_upright(plan, (copied.width, copied.height))
    notes = [INACCURACY] if extra else []
    if copied.length is not None and extra:
        more = float(copied.length - plan.cut_list.duration)
        notes.append(f"The reel lasts {float(copied.length):.2f} s, {more:.2f} s more than listed.")
    return Rendered(path, copied.length, None, plan.timeline.rate, plan.missing_notes, tuple(notes))


def _require_alike(plan: RenderPlan) -> None:
    kinds = {
        (media.video_codec, media.width, media.height, media.audio_codec, media.audio_hertz, media.channels): media
        for media in plan.media
    }
    if len(kinds) > 1:
        listed = "; ".join(
            f"{media.path.name}: {media.video_codec} {media.width}x{media.height}, sound {media.audio_codec or 'none'}"
            for media in kinds.values()
        )
        raise ExportError(f"sources that differ cannot be copied into one reel, render it instead ({listed})")
    for media in plan.media:
        if not media.stamped:
            raise ExportError(f"{media.path.name}: its pictures carry no times, which a copy needs: render it instead")


def _copied(number: int, showing: Showing, folder: Path) -> int:
    """Copy one cut, from a key frame on, to a file called by its number; how many frames it has too many.

    Raises ExportError where it has too few, wherever reading begins.
    """
    media, key = showing.media, showing.key
    assert key is not None  # as `_require_alike` asks
    doing = f"cut {number}, {media.path.name}"
    if not showing.closed:
        raise ExportError(f"{doing}: {OPEN_GROUPS}: render it instead")
    quarter = 1 / (4 * showing.rate)
    end = showing.zero + showing.frames / showing.rate - quarter - media.container_start
    at = key - media.container_start
    piece = folder / f"{number}.mkv"
    for begin in (at + quarter, at - _EARLIER, None):
        seek = [] if begin is None or begin < _EARLIER else ["-ss", f"{float(begin):.6f}"]
        part = [*seek, "-t", f"{float(end - begin if seek and begin else end):.6f}"]
        arguments = ["-loglevel", "warning", *opening(media.path, *part), "-map", PICTURE, "-map", "0:a?", "-c", "copy"]
        run_checked([*arguments, "-avoid_negative_ts", "make_zero", "-y", named(piece)], doing)
        frames = len(packets(piece))
        if frames >= len(showing.stamps) + showing.early:
            return frames - len(showing.stamps)
    raise ExportError(f"{doing}: not all of its frames were copied: render it instead")


def _require_upright(plan: RenderPlan, size: tuple[int, int]) -> None:
    """Raises ExportError where the copy lost that its picture is to be turned."""
    source = plan.media[0]
    if size != (source.width, source.height):
        raise ExportError(f"{source.path.name}: its picture is turned, which the copy does not keep: render it instead")
