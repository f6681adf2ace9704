"""Where the footage of bouts is, and what is wrong with it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction
from functools import lru_cache
from pathlib import Path

from fightnotes.cutting.ffmpeg import ffmpeg_path
from fightnotes.cutting.media import Media
from fightnotes.cutting.probing import probe
from fightnotes.errors import ExportError, UnreadableFile
from fightnotes.model import Bout
from fightnotes.reading.opening import allowed_folders, find_footage

_KEPT = 512
"""Of how many files what ffmpeg says is kept, for a process that goes on, as that of the page does: a file without an
index is read from end to end."""


def find_media(
    bouts: Iterable[Bout], library: Path, media_roots: Iterable[str] = ()
) -> tuple[dict[str, Media], tuple[str, ...]]:
    """The recordings of the bouts that are at hand, by file as written in the front matter, and what is wrong with
    those that are there and cannot be read, a sentence each.

    A file is looked for in the library, then in each media root; one that must not be opened is among what is wrong.
    """
    folders = allowed_folders(library, media_roots)
    written = dict.fromkeys(file for bout in bouts for file in bout.recording_files)
    found: dict[str, Media] = {}
    unreadable: list[str] = []
    for file in written:
        try:
            path = find_footage(file, folders)
            if path is not None:
                found[file] = _probed(path)
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


def _probed(path: Path) -> Media:
    """What ffmpeg says of a file, asked once for as long as its size and time stay; raises as `probe` does."""
    try:
        found = path.stat()
    except OSError as error:
        raise ExportError(f"{path}: cannot be read: {error.strerror}") from error
    return _probed_as(path, found.st_size, found.st_mtime_ns, ffmpeg_path())


@lru_cache(maxsize=_KEPT)
def _probed_as(path: Path, size: int, changed: int, program: str) -> Media:
    """Another ffmpeg reads some files otherwise."""
    return probe(path)
