"""Proposals that a person refused, remembered in `rejected-terms.yaml` so that they are not made again."""

from __future__ import annotations

import json
from pathlib import Path

from ruamel.yaml import YAML
from ruamel.yaml.error import MarkedYAMLError, YAMLError

from fightnotes.errors import Problem, UnreadableFile
from fightnotes.model import fold
from fightnotes.reading.atomic import replace_files, write_file
from fightnotes.reading.line_edit import newline_of, read_exact

REJECTED_FILE = "rejected-terms.yaml"
_HEADER = "# Terms that were proposed and refused: they are not proposed again. Take a line out to be asked again.\n"
_EXPECTED = "a list of terms"


def read_rejected_terms(root: Path) -> frozenset[str]:
    """The terms, folded. Raises UnreadableFile where the file is there and is no list of terms."""
    path = root / REJECTED_FILE
    if not path.exists():
        return frozenset()
    try:
        terms = YAML(typ="safe", pure=True).load(read_exact(path).removeprefix("\ufeff")) or []
    except YAMLError as error:
        mark = error.problem_mark if isinstance(error, MarkedYAMLError) else None
        line, column = (mark.line + 1, mark.column + 1) if mark else (1, 1)
        raise UnreadableFile(Problem(REJECTED_FILE, line, column, "broken YAML", _EXPECTED)) from error
    if not isinstance(terms, list) or not all(isinstance(term, str) for term in terms):
        raise UnreadableFile(Problem(REJECTED_FILE, 1, 1, "something else", _EXPECTED))
    return frozenset(map(fold, terms))


def reject_term(root: Path, term: str) -> None:
    """Remembers a refusal at the end of the file; what it says else stays.

    Raises UnreadableFile, FightnotesError where the file cannot be written.
    """
    if fold(term) in read_rejected_terms(root):
        return
    path = root / REJECTED_FILE
    line = f"- {json.dumps(term, ensure_ascii=False)}"  # in JSON's quotes, which YAML 1.2 reads
    if not path.exists():
        write_file(path, f"{_HEADER}{line}\n".encode())
        return
    before = path.read_bytes()
    ending = newline_of(before.decode("utf-8", "surrogateescape"))
    gap = "" if not before or before.endswith((b"\n", b"\r")) else ending
    replace_files({path: (before, before + f"{gap}{line}{ending}".encode())})
