"""Notes that were drafted from a caption file, and say so in a comment."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Sequence
from pathlib import Path

from fightnotes.reading.opening import leads_outside
from fightnotes.reading.placed_yaml import Reporter
from fightnotes.reading.text_file import read_bytes

_ORIGIN = re.compile(r"<!-- drafted from (?P<file>\"(?:[^\"\\\r\n]|\\[^\r\n])*\")")


def origin_mark(file: str) -> str:
    """What a comment of drafted notes begins with: the file that they were made of."""
    quoted = json.dumps(file, ensure_ascii=False).replace("-->", r"--\u003e")
    return f"<!-- drafted from {quoted}"


def drafts_in(root: Path, files: Iterable[str], folders: Sequence[Path]) -> dict[str, str]:
    """By caption file, the one of the `files`, notes among them, that says it was drafted from it.

    `folders` are those in which files may be opened.
    """
    found: dict[str, str] = {}
    for file in sorted({file for file in files if file.lower().endswith(".md")}):
        raw = None if leads_outside(root / file, folders) else read_bytes(root / file, Reporter(file))
        if raw and b"<!-- drafted from " in raw:
            for match in _ORIGIN.finditer(raw.decode("utf-8", "replace")):
                found.setdefault(_unquoted(match["file"]), file)
    return found


def _unquoted(text: str) -> str:
    try:
        return str(json.loads(text))
    except ValueError:
        return ""
