"""Proposals that a person refused, remembered in `rejected-terms.yaml` so that they are not made again."""

from __future__ import annotations

import json
from pathlib import Path

from fightnotes.editing.refusals_file import add_line, read_entries
from fightnotes.errors import Problem, UnreadableFile
from fightnotes.model import fold

REJECTED_FILE = "rejected-terms.yaml"
_HEADER = "# Terms that were proposed and refused: they are not proposed again. Take a line out to be asked again.\n"
_EXPECTED = "a list of terms"


def read_rejected_terms(root: Path) -> frozenset[str]:
    """The terms, folded. Raises UnreadableFile where the file is there and is no list of terms."""
    terms = read_entries(root / REJECTED_FILE, _EXPECTED)
    if not all(isinstance(term, str) for term in terms):
        raise UnreadableFile(Problem(REJECTED_FILE, 1, 1, "something else", _EXPECTED))
    return frozenset(map(fold, terms))


def reject_term(root: Path, term: str) -> None:
    """Remembers a refusal at the end of the file; what it says else stays.

    Raises UnreadableFile, FightnotesError where the file cannot be written.
    """
    if fold(term) in read_rejected_terms(root):
        return
    line = f"- {json.dumps(term, ensure_ascii=False)}"  # in JSON's quotes, which YAML 1.2 reads
    add_line(root / REJECTED_FILE, line, _HEADER)
