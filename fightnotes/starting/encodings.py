"""Text of any of the encodings that old files are in; a library's own files are UTF-8."""

from __future__ import annotations

import codecs
import re
from dataclasses import dataclass

UTF8 = "UTF-8"
_CONTROL = re.compile("[\x00-\x08\x0e-\x1a\x1c-\x1f]")
"""Characters that no text holds."""
_LEAST_ZEROS = 0.3
"""The share of zero bytes on one side that makes bytes without a mark UTF-16; by hand, no source."""


@dataclass(frozen=True)
class FileText:
    text: str
    """With its line endings, without byte order mark."""
    encoding: str
    """`UTF-8`, `UTF-16`, `Windows-1252` or `Latin-1`."""


def text_of_bytes(raw: bytes) -> FileText | None:
    """The text that bytes hold; None where they hold none.

    UTF-16 is known by its mark or its zero bytes; what is no UTF-8 either is read as Windows-1252, and where that has
    no such byte, as Latin-1: every byte is then a letter, perhaps a wrong one.
    """
    utf16 = _utf16(raw)
    for encoding, codec in ((utf16, utf16), (UTF8, "utf-8-sig"), ("Windows-1252", "cp1252"), ("Latin-1", "latin-1")):
        if codec is None or encoding is None:
            continue
        try:
            text = raw.decode(codec)
        except UnicodeDecodeError:
            continue
        if _CONTROL.search(text):
            return None
        return FileText(text, "UTF-16" if encoding == utf16 else encoding)
    return None


def _utf16(raw: bytes) -> str | None:
    if raw.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        return "utf-16"
    even, odd = raw[:4000:2].count(0), raw[1:4000:2].count(0)
    half = min(len(raw), 4000) / 2
    if half and odd > _LEAST_ZEROS * half and not even:
        return "utf-16-le"
    return "utf-16-be" if half and even > _LEAST_ZEROS * half and not odd else None
