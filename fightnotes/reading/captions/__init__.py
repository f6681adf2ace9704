"""Caption files: WebVTT, SubRip and timed text, told apart by the end of the file name."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import PurePath

from .cue import CaptionFile, Cue, Fault, Stamps
from .subrip import read_subrip
from .timed_text import read_timed_text
from .webvtt import read_webvtt

__all__ = ["READERS", "CaptionFile", "Cue", "Fault", "Stamps", "read_captions"]

READERS: dict[str, Callable[[str], CaptionFile]] = {
    ".vtt": read_webvtt,
    ".srt": read_subrip,
    ".txt": read_timed_text,
}
"""The reader for each extension, in lower case; to add a format, add its file and a row here."""


def read_captions(name: str, text: str) -> CaptionFile:
    """Read the text of a caption file by the reader for its name; case does not count in the extension.

    Any text is read: what is wrong in it is among the faults. Raises ValueError for an extension that is
    not in READERS.
    """
    extension = PurePath(name).suffix.lower()
    if extension not in READERS:
        raise ValueError(f"{name}: expected a caption file named {', '.join(READERS)}")
    return READERS[extension](text)
