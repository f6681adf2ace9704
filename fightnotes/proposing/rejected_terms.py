"""Proposals that a person refuses, remembered in `rejected-terms.yaml` so that they are not made again."""

from __future__ import annotations

import json
from pathlib import Path

from fightnotes.editing.plan import Plan
from fightnotes.editing.refusals_file import plan_line
from fightnotes.model import fold
from fightnotes.reading.file_names import TERMS_FILE
from fightnotes.reading.refusals import read_rejected_terms

_HEADER = "# Terms that were proposed and refused: they are not proposed again. Take a line out to be asked again.\n"


def plan_term_rejection(root: Path, term: str) -> Plan:
    """A refusal remembered at the end of the file; nothing where it is by now. Raises UnreadableFile."""
    title = f"refuse '{term}'"
    if fold(term) in read_rejected_terms(root):
        return Plan(title, ())
    line = f"- {json.dumps(term, ensure_ascii=False)}"  # in JSON's quotes, which YAML 1.2 reads
    return plan_line(root, TERMS_FILE, line, _HEADER, title)
