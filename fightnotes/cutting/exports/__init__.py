"""The formats a cut list is written in: one file each, and the table that lists them."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path

from fightnotes.cutting.cuts import CutList
from fightnotes.cutting.exports import captions, chapters, concat, edl, otio, table_csv, table_markdown, timestamps
from fightnotes.cutting.media import Media
from fightnotes.cutting.parts import parts_by_counting
from fightnotes.cutting.timeline import Timeline, lay_out
from fightnotes.errors import ExportError, UnknownName


@dataclass(frozen=True, slots=True)
class Export:
    name: str
    suffix: str
    about: str
    write: Callable[[CutList, Timeline, Mapping[str, Media]], str]
    """The whole file as text. Raises ExportError for what the format cannot hold."""
    one_counting: bool = False
    """Whether all of its frames count alike, so that a list whose sources do not makes several files."""
    media_type: str = "text/plain"
    """Registered (IANA); of a format that is not, that of what it is made of."""


EXPORTS = (
    Export("otio", ".otio", "OpenTimelineIO, with the moments as markers", otio.write, media_type="application/json"),
    Export("edl", ".edl", "CMX 3600 edit decision list", edl.write, one_counting=True),
    Export("chapters", ".vtt", "WebVTT chapters of the reel", chapters.write, media_type="text/vtt"),
    Export("csv", ".csv", "a table with a row for each cut", table_csv.write, media_type="text/csv"),
    Export("markdown", ".md", "a table to read or to put into notes", table_markdown.write, media_type="text/markdown"),
    Export("timestamps", ".txt", "a line for each cut: time in the reel, title, source", timestamps.write),
    Export("concat", ".ffconcat", "script for ffmpeg that cuts to the frame", concat.write),
    Export("captions", ".srt", "SubRip captions of the reel: the titles", captions.write),
)


def export_of(name: str) -> Export:
    """The format called `name`. Raises UnknownName."""
    found = next((known for known in EXPORTS if known.name == name), None)
    if found is None:
        raise UnknownName(f"no export is called {name}: there are {', '.join(known.name for known in EXPORTS)}")
    return found


def format_of(path: Path) -> str:
    """The format that a file's ending stands for. Raises UnknownName."""
    found = next((known.name for known in EXPORTS if known.suffix == path.suffix.lower()), None)
    if found is None:
        endings = ", ".join(f"{known.suffix} ({known.name})" for known in EXPORTS)
        raise UnknownName(f"{path.name}: its ending tells no format: there are {endings}")
    return found


def export(cut_list: CutList, name: str, media: Mapping[str, Media]) -> str:
    """The cut list in the format called `name`.

    `media` holds the files that are at hand, by file as written in the front matter; for the others the written
    name stands in. Raises UnknownName for no such format and ExportError for an empty list or for what the
    format cannot hold in one file.
    """
    parts = _parts(cut_list, name, media)
    if len(parts) > 1:
        ways = ", ".join(parts)
        raise ExportError(
            f"the sources count frames in {len(parts)} ways ({ways}), and {name} in one: --out writes a file each"
        )
    return next(iter(parts.values()))


def export_files(cut_list: CutList, name: str, media: Mapping[str, Media], path: Path) -> dict[Path, str]:
    """The same as texts of files: at `path`, or beside it where one cannot hold the list, such as `reel-25.edl`."""
    parts = _parts(cut_list, name, media)
    if len(parts) == 1:
        return dict(zip((path,), parts.values(), strict=True))
    return {path.with_stem(f"{path.stem}-{part}"): text for part, text in parts.items()}


def _parts(cut_list: CutList, name: str, media: Mapping[str, Media]) -> dict[str, str]:
    """The text of each file, by the name of the part that it holds."""
    found = export_of(name)
    parts = parts_by_counting(cut_list) if found.one_counting else {"": cut_list}
    return {part: found.write(one, lay_out(one.cuts, reel_start=one.reel_start), media) for part, one in parts.items()}
