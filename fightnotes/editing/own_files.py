"""The files that belong to a library, and that no output of a command is written over."""

from __future__ import annotations

import os
from collections.abc import Collection, Iterable
from pathlib import Path

from fightnotes.editing.undo_file import FOLDER
from fightnotes.errors import ExportError
from fightnotes.model import Bout, Settings
from fightnotes.reading.file_names import SETTINGS_FILE, TAGS_FILE, TERMS_FILE, VOCABULARY_FILE
from fightnotes.reading.library import bout_files
from fightnotes.reading.opening import allowed_folders

TRANSCRIPTS_FOLDER = "transcripts"


def own_files(root: Path, bouts: Iterable[Bout], settings: Settings) -> frozenset[Path]:
    """Notes, vocabulary, settings, refusals, transcripts and footage, at hand or not; and folders of the program's own.

    Notes and transcripts that are newer than `bouts` are among them.
    """
    named = {SETTINGS_FILE, VOCABULARY_FILE, TAGS_FILE, TERMS_FILE, settings.audit_baseline, FOLDER, ".fightnotes"}
    bout_names = bout_files(root, allowed_folders(root, settings.media_roots)).files
    own = {root / name for name in (*named, *bout_names)}
    own |= {path for path in (root / TRANSCRIPTS_FOLDER).rglob("*") if path.is_file()}
    for bout in bouts:
        own |= {root / name for name in bout.files}
        own |= {root / folder / name for folder in (".", *settings.media_roots) for name in bout.recording_files}
    return frozenset(Path(os.path.realpath(path)) for path in own)  # resolve() raises on links that loop


def may_write(path: Path, own: Collection[Path]) -> None:
    """Raises ExportError where the path is one of `own` or lies in one, by another name or a link, too."""
    target = path.resolve()
    if any(each in own for each in (target, *target.parents)) or any(_same(target, each) for each in own):
        raise ExportError(f"{path} belongs to the library or is footage: give another name")


def _same(path: Path, other: Path) -> bool:
    """Whether both are one file of the disk, as hard links are."""
    try:
        return os.path.samefile(path, other)
    except OSError:  # one of them is not there
        return False
