"""A reel without encoding: fast and lossless, and not exact."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from fightnotes.cutting.cautions import CAUTIONS
from fightnotes.cutting.ffmpeg import run_checked
from fightnotes.cutting.media import probe
from fightnotes.cutting.plan import Plan
from fightnotes.cutting.whole_file import made_whole
from fightnotes.errors import ExportError

INACCURACY = (
    "Stream copy is not exact: each cut begins at the key frame at or before its in point, often seconds early, and "
    "sound and picture may part by some frames at the joins."
)


def stream_copy(plan: Plan, path: Path, on_cut: Callable[[int, int], None] = lambda done, of: None) -> tuple[str, ...]:
    """Join the cuts to `path` as they are stored; the inaccuracy, stated and measured.

    `on_cut` gets how many cuts are done, and of how many; raise from it to cancel: no file is left. Raises
    ExportError where the sources differ in codec, size or sound, as copied streams cannot be evened out.
    """
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
    with made_whole(path) as made:
        folder = made.parent
        for number, (cut, media) in enumerate(zip(cuts, plan.media, strict=True), start=1):
            seek = media.seek_to(cut.start_frame, cut.rate)
            arguments = ["-ss", f"{float(seek):.6f}", "-i", str(media.path), "-t", f"{float(cut.duration):.6f}"]
            arguments += ["-map", "0:v:0", "-map", "0:a:0?", "-c", "copy", "-avoid_negative_ts", "make_zero"]
            run_checked([*arguments, "-y", f"{number}.mkv"], f"cut {number}, {media.path.name}", folder)
            on_cut(number, len(cuts))
        listing = "ffconcat version 1.0\n" + "".join(f"file {number}.mkv\n" for number in range(1, len(cuts) + 1))
        (folder / "pieces.ffconcat").write_text(listing, encoding="ascii")
        arguments = ["-f", "concat", "-i", "pieces.ffconcat", "-map", "0", "-c", "copy", "-movflags", "+faststart"]
        arguments += ["-metadata", f"title={plan.cut_list.title}", "-metadata", f"comment={' '.join(CAUTIONS)}"]
        run_checked([*arguments, "-y", made.name], "joining the cuts", folder)
        copied = probe(made).length
    notes = [INACCURACY]
    if copied is not None:
        extra = float(copied - plan.cut_list.duration)
        notes.append(
            f"The reel lasts {float(copied):.2f} s, {abs(extra):.2f} s {'more' if extra > 0 else 'less'} than listed."
        )
    return tuple(notes)
