"""What a rule found, with its places, and what it did not judge."""

from __future__ import annotations

from typing import Literal

from fightnotes.editing.line_edit import LineEdit
from fightnotes.model import Record

Severity = Literal["error", "warning", "advice"]
SEVERITIES: tuple[Severity, ...] = ("error", "warning", "advice")
"""Gravest first. Errors and warnings make the command fail; advice does not."""


class Location(Record):
    """Where a finding points; a note that runs over several lines is one place."""

    file: str
    """Relative to the library, with forward slashes."""
    line: int
    """From 1; 0 where the finding is about the whole file or library."""
    column: int = 1
    last_line: int = 0
    """Of the note; 0 where the place is one line."""
    text: str = ""
    """What stands there, for a reader without the file."""
    heading: str = ""
    """Of a note, the headings above it, outermost first: words and a round's clock may come again under another."""

    @property
    def shown(self) -> str:
        """`file:line`, or the file alone."""
        return f"{self.file}:{self.line}" if self.line else self.file


class Retag(Record):
    """A tag at a place and the concept id that it shall name."""

    file: str
    line: int
    column: int
    concept: str


class Fix(Record):
    """A change that is safe to make; `edits` is what it does when made alone."""

    says: str
    retags: tuple[Retag, ...]
    edits: tuple[LineEdit, ...] = ()


class Finding(Record):
    rule: str
    severity: Severity
    places: tuple[Location, ...]
    """The first is where it shows; the others are what it is held against."""
    message: str
    about: str
    """The tag, concept or value in question: with rule, file and text it tells this finding from others."""
    fix: Fix | None = None

    @property
    def place(self) -> Location:
        return self.places[0]


class Skipped(Record):
    """What a rule did not judge, and why: it needs an index or footage, is switched off, or had too little data."""

    rule: str
    reason: str
