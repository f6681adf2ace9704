"""What the readers complained of, grouped into rules by its kind; nothing is checked a second time."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from fightnotes.audit.data import AuditData
from fightnotes.audit.rules.rule import Remark
from fightnotes.errors import ProblemKind


def problems_of(kind: ProblemKind) -> Callable[[AuditData], Iterator[Remark]]:
    """The check of one of the rules that pass the readers' problems on."""

    def check(data: AuditData) -> Iterator[Remark]:
        for problem in dict.fromkeys(data.reading.problems):
            if problem.kind == kind:
                place = data.place_of_line(problem.file, problem.line, problem.column)
                yield Remark((place,), f"found {problem.found}, expected {problem.expected}", problem.found)

    return check
