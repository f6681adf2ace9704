"""Bytes to text: UTF-8 with or without byte order mark; what is not is told with its place."""

from __future__ import annotations

import codecs
import os
import re
from pathlib import Path

from fightnotes.reading.opening import NotOrdinary, read_ordinary
from fightnotes.reading.placed_yaml import Reporter

_NEWLINE = re.compile(r"\r\n?|\n")
_UTF16 = (codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)


def read_bytes(path: Path, reporter: Reporter) -> bytes | None:
    """The file's bytes, or None where it cannot be read (which is reported)."""
    try:
        return read_ordinary(path)[0]
    except NotOrdinary as error:
        reporter.at(0, 0, error.what, "an ordinary file")
    except OSError as error:
        reporter.at(0, 0, error.strerror or str(error), "a file that can be read")
    return None


def decode(raw: bytes, reporter: Reporter) -> str | None:
    """Text without byte order mark; broken bytes become U+FFFD and the first is reported. None for UTF-16."""
    if raw.startswith(_UTF16):
        reporter.at(1, 1, "UTF-16", "UTF-8")
        return None
    raw = raw.removeprefix(codecs.BOM_UTF8)
    try:
        return raw.decode()
    except UnicodeDecodeError as error:
        before = split_lines(raw[: error.start].decode(errors="replace"))
        reporter.at(len(before), len(before[-1]) + 1, f"byte 0x{raw[error.start]:02x}", "UTF-8")
        return raw.decode(errors="replace")


def split_lines(text: str) -> list[str]:
    """Lines without their ends: CR LF, CR or LF, as CommonMark (0.31.2, 2.1) and WebVTT (W3C, 6.1) count them.

    str.splitlines would also split at form feeds and U+2028, and number the lines otherwise than an editor does.
    """
    return _NEWLINE.split(text)


def relative(root: Path, path: Path) -> str:
    """The path as the models hold it: relative to the library, with forward slashes."""
    return Path(os.path.relpath(path, root)).as_posix()


def printable(file: str) -> str:
    """A path whose bytes are not all UTF-8 with `?` for those; Python holds them as halves of surrogates (PEP 383)."""
    return file.encode("utf-8", "replace").decode()
