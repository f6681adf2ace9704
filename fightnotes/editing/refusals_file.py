"""A text file of the library that remembers what a person refused: a YAML list, one line an entry."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from ruamel.yaml import YAML
from ruamel.yaml.error import MarkedYAMLError, YAMLError

from fightnotes.editing.line_edit import LineEdit, Span, edits_of, newline_of, read_exact
from fightnotes.editing.plan import Plan
from fightnotes.errors import Problem, UnreadableFile

TAGS_FILE = "rejected-tags.yaml"
TERMS_FILE = "rejected-terms.yaml"


def read_entries(path: Path, expected: str) -> list[Any]:
    """The entries; none where there is no file. Raises UnreadableFile where it is broken or no list."""
    if not path.exists():
        return []
    try:
        entries = YAML(typ="safe", pure=True).load(read_exact(path).removeprefix("\ufeff")) or []
    except YAMLError as error:
        mark = error.problem_mark if isinstance(error, MarkedYAMLError) else None
        line, column = (mark.line + 1, mark.column + 1) if mark else (1, 1)
        raise UnreadableFile(Problem(path.name, line, column, "broken YAML", expected)) from error
    if not isinstance(entries, list):
        raise UnreadableFile(Problem(path.name, 1, 1, type(entries).__name__, expected))
    return entries


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
