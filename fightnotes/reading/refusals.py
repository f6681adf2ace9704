"""What a person refused, as text files of the library remember it: a YAML list each."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from ruamel.yaml import YAML
from ruamel.yaml.error import MarkedYAMLError, YAMLError

from fightnotes.errors import Problem, UnreadableFile
from fightnotes.model import fold
from fightnotes.reading.file_names import TERMS_FILE
from fightnotes.reading.placed_yaml import Reporter
from fightnotes.reading.text_file import decode, read_bytes

_EXPECTED = "a list of terms"


def read_entries(path: Path, expected: str) -> list[Any]:
    """The entries; none where there is no file. Raises UnreadableFile where it is broken or no list."""
    if not path.exists():
        return []
    reporter = Reporter(path.name)
    raw = read_bytes(path, reporter)
    text = None if raw is None else decode(raw, reporter)
    if text is None:
        raise UnreadableFile(reporter.problems[0])
    try:
        entries = YAML(typ="safe", pure=True).load(text) or []
    except YAMLError as error:
        mark = error.problem_mark if isinstance(error, MarkedYAMLError) else None
        line, column = (mark.line + 1, mark.column + 1) if mark else (1, 1)
        raise UnreadableFile(Problem(path.name, line, column, "broken YAML", expected)) from error
    if not isinstance(entries, list):
        raise UnreadableFile(Problem(path.name, 1, 1, type(entries).__name__, expected))
    return entries


def read_rejected_terms(root: Path) -> frozenset[str]:
    """The terms, folded. Raises UnreadableFile where the file is there and is no list of terms."""
    terms = read_entries(root / TERMS_FILE, _EXPECTED)
    if not all(isinstance(term, str) for term in terms):
        raise UnreadableFile(Problem(TERMS_FILE, 1, 1, "something else", _EXPECTED))
    return frozenset(map(fold, terms))
