"""What the readers complained of, sorted into rules; nothing is checked a second time."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from functools import partial

from fightnotes.audit.finding import Place
from fightnotes.audit.material import Material
from fightnotes.audit.rules.rule import Remark
from fightnotes.errors import Problem
from fightnotes.model.conditions import RULES
from fightnotes.reading.library import VOCABULARY_FILE

_FIELD = re.compile(r"'(by|on|target|outcome|stance):")
_CONDITION = re.compile(rf"(?:{'|'.join(map(re.escape, RULES))}):")
_MARK = "an open parenthesis behind a tag"


def _kind(problem: Problem, note_lines: frozenset[tuple[str, int]]) -> str:
    field = _FIELD.match(problem.found)
    if field and problem.file.lower().endswith(".md"):  # in a transcript they are words
        return "unknown-fighter" if field[1] in ("by", "on") else "unknown-value"
    if problem.file == VOCABULARY_FILE and _CONDITION.match(problem.found):
        return "vocabulary-condition"
    on_a_note = (problem.file, problem.line) in note_lines
    return "impossible-time" if on_a_note and problem.found != _MARK else "unreadable-part"


def _check(kind: str, material: Material) -> Iterator[Remark]:
    note_lines = frozenset((segment.file, segment.line) for segment in material.reading.segments)
    for problem in dict.fromkeys(material.reading.problems):
        if _kind(problem, note_lines) == kind:
            text = material.line_at(problem.file, problem.line)
            place = Place(file=problem.file, line=problem.line, column=max(problem.column, 1), text=text)
            yield Remark((place,), f"found {problem.found}, expected {problem.expected}", problem.found)


def problems_of(kind: str) -> Callable[[Material], Iterator[Remark]]:
    """The check of one of the rules that pass the readers' problems on."""
    return partial(_check, kind)
