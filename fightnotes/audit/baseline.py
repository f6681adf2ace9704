"""The baseline: findings that a library had when its audit began, so that only new ones show.

A finding is known by rule, file, what it is about, and the time, words and headings of its note, not by its
line, so that notes may move and the same words elsewhere are new; as many are left out as the baseline counts.
"""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any

from fightnotes.audit.finding import Finding
from fightnotes.editing.atomic import write_file
from fightnotes.editing.line_edit import inside
from fightnotes.errors import Problem, UnreadableFile
from fightnotes.model import fold

_KEYS = ("rule", "file", "heading", "about", "text")
_Key = tuple[str, ...]


def read_baseline(root: Path, file: str) -> Counter[_Key]:
    """How often each finding is known; none where there is no file. Raises UnreadableFile, FightnotesError."""
    path = inside(root, file)
    if not path.is_file():
        return Counter()
    try:
        document: Any = json.loads(path.read_text(encoding="utf-8"))
        return Counter({tuple(str(entry[key]) for key in _KEYS): int(entry["count"]) for entry in document["known"]})
    except (ValueError, KeyError, TypeError) as error:
        expected = "what `fightnotes audit --set-baseline` writes; set it again"
        raise UnreadableFile(Problem(file, 0, 0, f"no baseline ({error})", expected)) from error


def write_baseline(root: Path, file: str, findings: Iterable[Finding]) -> None:
    """Raises FightnotesError."""
    known = Counter(_key(finding) for finding in findings)
    entries = [{**dict(zip(_KEYS, key, strict=True)), "count": count} for key, count in sorted(known.items())]
    text = json.dumps({"known": entries}, ensure_ascii=False, indent=1) + "\n"
    write_file(inside(root, file), text.encode())


def covered(findings: Iterable[tuple[int, Finding]], known: Counter[_Key]) -> Iterator[int]:
    """The numbers of the findings that the baseline covers: of equal ones the first."""
    left = Counter(known)
    for number, finding in findings:
        key = _key(finding)
        if left[key] > 0:
            left[key] -= 1
            yield number


def _key(finding: Finding) -> _Key:
    place = finding.place
    return finding.rule, place.file, place.heading, finding.about, fold(place.text)
