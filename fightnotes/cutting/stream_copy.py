"""A reel without encoding: fast and lossless, and not exact."""

from __future__ import annotations

from pathlib import Path

from fightnotes.cutting.ffmpeg import run_checked
from fightnotes.cutting.media import probe
from fightnotes.cutting.plan import Rendered, RenderPlan, check_ending, described
from fightnotes.editing.atomic import made_whole
from fightnotes.errors import ExportError
from fightnotes.index.progress import Progress, Silent

INACCURACY = (
    "Stream copy is not exact: each cut begins at the key frame at or before its in point, often seconds early, and "
    "sound and picture may part by some frames at the joins."
)


def stream_copy(plan: RenderPlan, path: Path, progress: Progress = Silent()) -> Rendered:  # noqa: B008
    """Join the cuts to `path` as they are stored; the notes state the inaccuracy and how great it is.

    `progress` counts cuts; raise from it to cancel: no file is left. Raises ExportError for a suffix other than
    .mp4, .mov and .mkv, where ffmpeg fails, and where the sources differ in codec, size or sound, as copied
    streams cannot be evened out.
    """
    check_ending(path)
    kinds = {
        (media.video_codec, media.width, media.height, media.audio_codec, media.audio_hertz): media.path.name
        for media in plan.media
    }
    if len(kinds) > 1:
        listed = "; ".join(
            f"{name}: {codec} {width}x{height}, sound {audio or 'none'}"
            for (codec, width, height, audio, _), name in kinds.items()
        )
        raise ExportError(f"sources that differ cannot be copied into one reel, render it instead ({listed})")
    cuts = plan.cut_list.cuts
    progress.begin("copying", len(cuts))
    with made_whole(path) as made:
        folder = made.parent
        for number, (cut, media) in enumerate(zip(cuts, plan.media, strict=True), start=1):
            seek = media.seek_to(cut.start_frame, cut.rate)
            arguments = ["-ss", f"{float(seek):.6f}", "-i", str(media.path), "-t", f"{float(cut.duration):.6f}"]
            arguments += ["-map", "0:v:0", "-map", "0:a:0?", "-c", "copy", "-avoid_negative_ts", "make_zero"]
            run_checked([*arguments, "-y", f"{number}.mkv"], f"cut {number}, {media.path.name}", folder)
            progress.advance(1)
        listing = "ffconcat version 1.0\n" + "".join(f"file {number}.mkv\n" for number in range(1, len(cuts) + 1))
        (folder / "pieces.ffconcat").write_text(listing, encoding="ascii")
        arguments = ["-f", "concat", "-i", "pieces.ffconcat", "-map", "0", "-c", "copy", "-movflags", "+faststart"]
        run_checked([*arguments, *described(plan), "-y", made.name], "joining the cuts", folder)
        copied = probe(made)
    notes = [INACCURACY]
    if copied.length is not None:
        extra = float(copied.length - plan.cut_list.duration)
        more = "more" if extra > 0 else "less"
        notes.append(f"The reel lasts {float(copied.length):.2f} s, {abs(extra):.2f} s {more} than listed.")
    return Rendered(path, copied.length, None, plan.timeline.rate, plan.missing_notes, tuple(notes))
