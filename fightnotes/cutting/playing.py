"""Where a moment can be played: the recording at hand, and the second at which it begins there."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from fractions import Fraction
from pathlib import Path

from fightnotes.errors import OpeningError
from fightnotes.model import FOOTAGE, Moment
from fightnotes.reading.opening import allowed_folders, find_footage


def place_to_play(moment: Moment, library: Path, media_roots: Iterable[str]) -> tuple[Path, Fraction]:
    """The file, and seconds from its beginning: the recording that the moment is timed on, else the footage.

    Raises OpeningError where the moment has no media time, or none of its recordings is at hand; UnreadableFile for one
    that must not be opened.
    """
    named = list(_named(moment))
    if not named:
        raise OpeningError(f"{moment.place} has no time on a recording that its bout names")
    folders = allowed_folders(library, media_roots)
    for file, start in named:
        path = find_footage(file, folders)
        if path is not None:
            return path, start
    files, where = (", ".join(dict.fromkeys(map(str, paths))) for paths in ([file for file, _ in named], folders))
    raise OpeningError(f"not at hand: {files}; looked in {where}")


def _named(moment: Moment) -> Iterator[tuple[str, Fraction]]:
    segment = moment.segment
    for name, start in ((segment.timed_on, segment.start), (FOOTAGE, segment.footage_start)):
        recording = moment.bout.recordings.get(name)
        if recording is not None and recording.file is not None and start is not None:
            yield recording.file, max(start, Fraction(0))
