"""Bytes to text: UTF-8 with or without byte order mark; what is not is told with its place."""

from __future__ import annotations

import os
from pathlib import Path

from fightnotes.reading.placed_yaml import Reporter

_UTF16 = (b"\xff\xfe", b"\xfe\xff")


def read_bytes(path: Path, reporter: Reporter) -> bytes | None:
    """The file's bytes, or None where it cannot be read (which is reported)."""
    try:
        return path.read_bytes()
    except OSError as error:
        reporter.at(0, 0, error.strerror or type(error).__name__, "a file that can be read")
        return None


def decode(raw: bytes, reporter: Reporter) -> str | None:
    """Text without byte order mark; broken bytes become U+FFFD and are reported. None where it is not UTF-8 at all."""
    if raw.startswith(_UTF16):
        reporter.at(1, 1, "UTF-16", "UTF-8")
        return None
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        before = raw[: error.start].decode("utf-8-sig", errors="replace")
        line = before.count("\n") + 1
        column = len(before) - (before.rfind("\n") + 1) + 1
        reporter.at(line, column, f"byte 0x{raw[error.start]:02x}", "UTF-8")
        return raw.decode("utf-8-sig", errors="replace")


def relative(root: Path, path: Path) -> str:
    """The path as the models hold it: relative to the library, with forward slashes."""
    return Path(os.path.relpath(path, root)).as_posix()
