"""What a reel will be, known before any work begins; and what it came out as."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from typing import Any

from fightnotes.clock import format_media_time
from fightnotes.cutting.cuts import Cut, CutList
from fightnotes.cutting.media import Media, footage_of
from fightnotes.cutting.reel_form import ENCODINGS, ReelForm
from fightnotes.cutting.timeline import Timeline, lay_out
from fightnotes.errors import ExportError
from fightnotes.model.cautions import CAUTIONS

_ENDINGS = (".mp4", ".mov", ".mkv")


@dataclass(frozen=True, slots=True)
class RenderPlan:
    cut_list: CutList
    """The cuts whose footage is at hand."""
    media: tuple[Media, ...]
    """Of each of them."""
    missing: tuple[Cut, ...]
    """Those whose footage is not."""
    timeline: Timeline
    width: int
    height: int
    """Of the reel's picture: the size, in square pixels, that fills most of it; even, as encoders need."""
    sounds: tuple[int, ...]
    """Channels of each stream of sound: as many streams as the source that has most; those without are silent."""
    encoding: tuple[str, ...]
    """Arguments for the picture's encoder."""

    @property
    def missing_notes(self) -> tuple[str, ...]:
        """What is missing, a sentence for each file."""
        titles: dict[str, list[str]] = defaultdict(list)
        for cut in self.missing:
            titles[_file_of(cut)].append(cut.title)
        return tuple(f"{file} is not at hand, left out: {'; '.join(listed)}" for file, listed in titles.items())

    @property
    def notes(self) -> tuple[str, ...]:
        """What is evened out, a sentence each."""
        sizes = sorted({_shown_size(found) for found in self.media})
        notes = [self.timeline.remark] if self.timeline.remark else []
        if sizes != [(self.width, self.height)]:
            listed = ", ".join(f"{width}x{height}" for width, height in sizes)
            notes.append(f"Pictures of {listed} are scaled to {self.width}x{self.height}, with black edges as needed.")
        silent = sum(not found.has_sound for found in self.media)
        if self.sounds and silent:
            notes.append(f"{silent} of {len(self.media)} cuts have no sound and are silent.")
        return tuple(notes)


@dataclass(frozen=True, slots=True)
class Rendered:
    path: Path
    seconds: Fraction | None
    """None where streams were copied and the file does not tell."""
    frames: int | None
    """None where streams were copied: these are not counted."""
    rate: Fraction
    """Frames a second."""
    missing: tuple[str, ...]
    """Cuts that are not in it as their footage is not at hand, a sentence for each file."""
    notes: tuple[str, ...]
    """What was evened out or did not come out as listed, a sentence each."""

    def as_json(self) -> dict[str, Any]:
        return {
            "path": str(self.path),
            "seconds": None if self.seconds is None else round(float(self.seconds), 6),
            "frames": self.frames,
            "rate": str(self.rate),
            "missing": list(self.missing),
            "notes": list(self.notes),
        }

    @property
    def summary(self) -> str:
        lasts = "" if self.seconds is None else f" {format_media_time(self.seconds, decimals=2)}"
        counted = "" if self.frames is None else f", {self.frames} frames at {self.rate} a second"
        return f"{self.path}:{lasts}{counted}"


def plan_render(cut_list: CutList, media: Mapping[str, Media], form: ReelForm = ReelForm()) -> RenderPlan:  # noqa: B008
    """What becomes of a cut list with the footage at hand. Raises ExportError where there is none at all."""
    at_hand = [(cut, found) for cut in cut_list.cuts if (found := footage_of(cut.media, media))]
    missing = [cut for cut in cut_list.cuts if footage_of(cut.media, media) is None]
    if not at_hand:
        wanted = ", ".join(dict.fromkeys(map(_file_of, missing)))
        raise ExportError(f"none of the footage is at hand: {wanted or 'the cut list is empty'}")
    running: dict[tuple[int, int], Fraction] = defaultdict(Fraction)
    for cut, found in at_hand:
        running[_shown_size(found)] += cut.duration
    width, height = form.size or max(running, key=lambda size: (running[size], size))
    cuts = tuple(cut for cut, _ in at_hand)
    return RenderPlan(
        cut_list=cut_list.model_copy(update={"cuts": cuts}),
        media=tuple(found for _, found in at_hand),
        missing=tuple(missing),
        timeline=lay_out(cuts, form.rate),
        width=width + width % 2,
        height=height + height % 2,
        sounds=_sounds([found for _, found in at_hand]),
        encoding=ENCODINGS[form.quality],
    )


def _sounds(media: Sequence[Media]) -> tuple[int, ...]:
    """Channels of the reel's streams of sound: one where all sources have one, else two."""
    streams = max(len(found.channels) for found in media)
    heard = [[found.channels[number] for found in media if number < len(found.channels)] for number in range(streams)]
    return tuple(min(2, max(channels)) for channels in heard)


def check_ending(path: Path) -> None:
    """Raises ExportError for a name that no reel is written under."""
    if path.suffix.lower() not in _ENDINGS:
        raise ExportError(f"{path.name}: a reel is written as {', '.join(_ENDINGS)}")


def described(plan: RenderPlan) -> list[str]:
    """Arguments for ffmpeg that put the title and the cautions into the file."""
    title = plan.cut_list.title.replace("\0", "")  # which ends an argument
    return ["-metadata", f"title={title}", "-metadata", f"comment={' '.join(CAUTIONS)}"]


def _file_of(cut: Cut) -> str:
    return cut.media.file or f"{cut.recording} of {cut.bout.id}, whose file is not given,"


def _shown_size(media: Media) -> tuple[int, int]:
    return round(media.width * media.pixel_aspect), media.height
