"""Where the footage of bouts is, and what is wrong with it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction
from pathlib import Path

from fightnotes.cutting.media import Media
from fightnotes.cutting.probing import probe
from fightnotes.errors import ExportError
from fightnotes.model import Bout


def find_media(
    bouts: Iterable[Bout], library: Path, media_roots: Iterable[str] = ()
) -> tuple[dict[str, Media], tuple[str, ...]]:
    """The recordings of the bouts that are at hand, by file as written in the front matter, and what is wrong with
    those that are there and cannot be read, a sentence each.

    A file is looked for in each of `media_folders`.
    """
    folders = media_folders(library, media_roots)
    written = dict.fromkeys(
        recording.file for bout in bouts for recording in bout.recordings.values() if recording.file is not None
    )
    found: dict[str, Media] = {}
    unreadable: list[str] = []
    for file in written:
        path = next((folder / file for folder in folders if (folder / file).is_file()), None)
        if path is None:
            continue
        try:
            found[file] = probe(path.resolve())
        except ExportError as error:
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


def media_folders(library: Path, media_roots: Iterable[str]) -> list[Path]:
    """Where footage is looked for: the library, then each media root."""
    return [library, *(library / root for root in media_roots)]
