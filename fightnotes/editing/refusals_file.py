"""A refusal put into the text file of the library that remembers it, a line an entry."""

from __future__ import annotations

from pathlib import Path

from fightnotes.editing.line_edit import LineEdit, Span, edits_of, newline_of, read_exact
from fightnotes.editing.plan import Plan


def plan_line(root: Path, file: str, line: str, header: str, title: str) -> Plan:
    """A line put at the end; what the file says else stays, and a new file begins with `header`.

    Raises UnreadableFile.
    """
    if not (root / file).exists():
        return Plan(title, (LineEdit(file, 1, (), (header, f"{line}\n")),))
    text = read_exact(root / file)
    ending = newline_of(text)
    gap = "" if not text or text.endswith(("\n", "\r")) else ending
    return Plan(title, edits_of(file, text, [Span(len(text), len(text), f"{gap}{line}{ending}")]))
