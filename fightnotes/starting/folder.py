"""The files of a folder by what their names say they may be."""

from __future__ import annotations

import os
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path, PurePosixPath

from fightnotes.editing.undo_file import FOLDER as UNDO_FOLDER
from fightnotes.model import Record
from fightnotes.reading.captions import READERS
from fightnotes.reading.file_names import CUTS_FOLDER, SETTINGS_FILE, TAGS_FILE, TERMS_FILE, VOCABULARY_FILE
from fightnotes.reading.text_file import printable, relative

NOTE_ENDINGS = (".md", ".markdown", ".txt", ".text")
CAPTION_ENDINGS = tuple(ending for ending in READERS if ending not in NOTE_ENDINGS)
RECORDING_ENDINGS = (
    ".mp4", ".mov", ".mkv", ".m4v", ".avi", ".mts", ".m2ts", ".ts", ".mpg", ".mpeg", ".mxf", ".webm", ".wmv",
)  # fmt: skip
"""Of containers that hold video (common practice, no source)."""
_SPEECH_FOLDERS = frozenset({"transcript", "transcripts", "captions", "subtitles", "subs"})
"""Timed text in them is speech; elsewhere it is taken for notes."""
_OWN = frozenset({SETTINGS_FILE, VOCABULARY_FILE, TAGS_FILE, TERMS_FILE})


class LeftAlone(Record):
    """A file or folder that is not read, or not made part of a bout, and why."""

    file: str
    """Relative to the library, with forward slashes."""
    reason: str
    """In words that are the same for all such files."""


@dataclass(frozen=True)
class FolderFiles:
    """Paths relative to the folder, with forward slashes, in order."""

    notes: tuple[str, ...]
    captions: tuple[str, ...]
    recordings: tuple[str, ...]
    left: tuple[LeftAlone, ...]


def files_of(root: Path, own: frozenset[str] = frozenset()) -> FolderFiles:
    """What lies in a folder and below it. What begins with a dot, and the program's own files, `own` among them, are
    passed over; no link to a folder is followed."""
    notes, captions, recordings = [], [], []
    left: list[LeftAlone] = []
    for path in _walked(root, left):
        file = relative(root, path)
        ending = path.suffix.lower()
        if file in _OWN or file in own or _is_cut_list(file):
            continue
        reason = _unfit(path, file, ending)
        if reason:
            left.append(LeftAlone(file=printable(file), reason=reason))
        elif ending in RECORDING_ENDINGS:
            recordings.append(file)
        elif ending in CAPTION_ENDINGS or (ending in READERS and _in_speech_folder(file)):
            captions.append(file)
        else:
            notes.append(file)
    return FolderFiles(tuple(notes), tuple(captions), tuple(recordings), tuple(left))


def _walked(root: Path, left: list[LeftAlone]) -> Iterator[Path]:
    """Every file, in order of path."""

    def unopened(error: OSError) -> None:
        file = relative(root, Path(error.filename))
        left.append(LeftAlone(file=file, reason=f"a folder that cannot be opened ({error.strerror})"))

    for folder, folders, files in os.walk(root, onerror=unopened):
        here = Path(folder)
        shown = sorted(name for name in folders if not name.startswith("."))
        left.extend(
            LeftAlone(file=relative(root, here / name), reason="a link to a folder, which is not followed")
            for name in shown
            if (here / name).is_symlink()
        )
        folders[:] = [name for name in shown if not (here == root and name == UNDO_FOLDER)]
        yield from (here / name for name in sorted(files) if not name.startswith("."))


def _unfit(path: Path, file: str, ending: str) -> str:
    """Why the file is nothing for a library; empty where it may be."""
    if printable(file) != file:
        return "a file name that is not UTF-8"
    if "\\" in file:
        return "a backslash in its name, which parts folders on other systems"
    if not path.is_file():
        return "a link to nothing" if path.is_symlink() else "a device or pipe"
    if ending in RECORDING_ENDINGS:
        return ""
    if ending not in (*NOTE_ENDINGS, *CAPTION_ENDINGS):
        return f"no notes, captions or footage by its ending ({ending or 'none'})"
    return "a link: it is not written to" if path.is_symlink() else ""


def _is_cut_list(file: str) -> bool:
    return file.startswith(f"{CUTS_FOLDER}/") and file.endswith(".yaml")


def _in_speech_folder(file: str) -> bool:
    return any(part.lower() in _SPEECH_FOLDERS for part in PurePosixPath(file).parts[:-1])
