"""Small libraries for the tests of the index; all people and bouts are invented."""

from __future__ import annotations

import json
import os
from pathlib import Path
from typing import Any

from typer.testing import Result

from fightnotes.index.layout import Layout
from fightnotes.index.local_store import LocalStore

FIRST = """\
---
bout: quell-marvane-2030
red: {name: Ada Quell, stance: southpaw}
blue: {name: Bo Marvane, stance: orthodox}
media: {file: quell-marvane.mp4, rate: 25}
analyst: mk
---
- 0:10 Quell steps outside the lead foot. #outside-step by:quell
- 0:20 Marvane waits with low gloves.
- 0:30 jab
- 0:40 jab
"""
SECOND = """\
---
bout: marvane-oduro-2031
red: {name: Bo Marvane, stance: orthodox}
blue: {name: Kit Oduro, stance: orthodox}
analyst: mk
sources:
  - {file: ../transcripts/marvane-oduro.vtt, kind: transcript}
---
- 0:05 Oduro turns out of the corner and hits the body.
"""
SPEECH = """\
WEBVTT

00:01.000 --> 00:04.000
He turns on the ropes and leaves a left hook behind.
"""
VOCABULARY = """\
concepts:
  - {id: outside-step, label: outside step, definition: The lead foot is put outside the opponent's.}
  - {id: low-guard, label: low guard}
"""
LIBRARY = {
    "bouts/first.md": FIRST,
    "bouts/second.md": SECOND,
    "transcripts/marvane-oduro.vtt": SPEECH,
    "vocabulary.yaml": VOCABULARY,
}
SEGMENTS, TEXTS, FILES = 6, 5, 3
"""Segments of LIBRARY, different texts among them, and files that its bouts are read from."""


def rewrite(root: Path, name: str, old: str, new: str) -> None:
    """Replaces one passage of a file, which must be there once."""
    path = root / name
    text = path.read_text(encoding="utf-8")
    assert text.count(old) == 1
    path.write_text(text.replace(old, new), encoding="utf-8")


def report_of(result: Result) -> dict[str, Any]:
    """The one JSON document on standard output."""
    report: dict[str, Any] = json.loads(result.stdout)
    return report


def texts_in(root: Path) -> list[str]:
    """What the store holds, sorted; every segment must have a vector of its own text."""
    store = LocalStore(root)
    segments = store.every_segment()
    ids = list(segments)
    if ids:
        fresh = store.encoder.encode([segments[number].text for number in ids])
        assert abs((store.vectors_of(ids) * fresh).sum(axis=1) - 1).max() < 1e-4
    store.close()
    return sorted(segment.text for segment in segments.values())


def files_of_store(root: Path) -> set[str]:
    return {path.name for path in Layout(root).folder.iterdir()}


def later(path: Path, seconds: int = 60) -> None:
    """Gives a file another time and leaves its content."""
    status = path.stat()
    os.utime(path, ns=(status.st_atime_ns, status.st_mtime_ns + seconds * 10**9))
