"""Proposals that a person refused, remembered in `rejected-terms.yaml` so that they are not made again."""

from __future__ import annotations

import json
from pathlib import Path

from fightnotes.editing.plan import Plan
from fightnotes.editing.refusals_file import TERMS_FILE, plan_line, read_entries
from fightnotes.errors import Problem, UnreadableFile
from fightnotes.model import fold

_HEADER = "# Terms that were proposed and refused: they are not proposed again. Take a line out to be asked again.\n"
_EXPECTED = "a list of terms"


def read_rejected_terms(root: Path) -> frozenset[str]:
    """The terms, folded. Raises UnreadableFile where the file is there and is no list of terms."""
    terms = read_entries(root / TERMS_FILE, _EXPECTED)
    if not all(isinstance(term, str) for term in terms):
        raise UnreadableFile(Problem(TERMS_FILE, 1, 1, "something else", _EXPECTED))
    return frozenset(map(fold, terms))


def plan_term_rejection(root: Path, term: str) -> Plan:
    """A refusal remembered at the end of the file; nothing where it is by now. Raises UnreadableFile."""
    title = f"refuse '{term}'"
    if fold(term) in read_rejected_terms(root):
        return Plan(title, ())
    line = f"- {json.dumps(term, ensure_ascii=False)}"  # in JSON's quotes, which YAML 1.2 reads
    return plan_line(root, TERMS_FILE, line, _HEADER, title)
