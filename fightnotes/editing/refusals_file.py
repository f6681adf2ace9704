"""A text file of the library that remembers what a person refused: a YAML list, one line an entry."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from ruamel.yaml import YAML
from ruamel.yaml.error import MarkedYAMLError, YAMLError

from fightnotes.editing.atomic import replace_files, write_file
from fightnotes.editing.line_edit import newline_of, read_exact
from fightnotes.errors import Problem, UnreadableFile


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


def add_line(path: Path, line: str, header: str) -> None:
    """Puts a line at the end; what the file says else stays, and a new file begins with `header`.

    Raises UnreadableFile, FightnotesError where the file cannot be written.
    """
    if not path.exists():
        write_file(path, f"{header}{line}\n".encode())
        return
    before = path.read_bytes()
    ending = newline_of(before.decode("utf-8", "surrogateescape"))
    gap = "" if not before or before.endswith((b"\n", b"\r")) else ending
    replace_files({path: (before, before + f"{gap}{line}{ending}".encode())})
