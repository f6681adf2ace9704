"""Which recordings of a bout are at hand."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from fightnotes.errors import UnreadableFile
from fightnotes.model import Bout
from fightnotes.reading.opening import allowed_folders, find_footage


@dataclass(frozen=True)
class NamedRecording:
    name: str
    file: str
    """As the front matter writes it."""
    missing: str = ""
    """Why it is not at hand, in words; nothing where it is."""


def named_recordings(bout: Bout, library: Path, media_roots: Iterable[str]) -> tuple[NamedRecording, ...]:
    """The recordings for which the bout names a file, the footage first as a rule."""
    folders = allowed_folders(library, media_roots)
    return tuple(
        NamedRecording(name, recording.file, _missing(recording.file, folders))
        for name, recording in bout.recordings.items()
        if recording.file is not None
    )


def _missing(file: str, folders: tuple[Path, ...]) -> str:
    try:
        return "" if find_footage(file, folders) else "not at hand"
    except UnreadableFile as error:
        return str(error)
