"""Findings put aside until they are shown, so that a large library may have any number of them.

They come back in the order in which they are shown: gravest first, then by place.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from functools import cached_property
from itertools import islice
from typing import overload

from fightnotes.audit.finding import SEVERITIES, Finding, Severity
from fightnotes.index.aside import Aside, PutAside


class Findings(Sequence[Finding]):
    """All findings, or those of one rule or of one weight; one at a time is in memory, however often they are asked."""

    def __init__(self, aside: Aside, rule: str | None = None, severity: Severity | None = None) -> None:
        """`put_aside` makes the first one, and `narrowed` others of it."""
        self._aside, self._rule, self._severity = aside, rule, severity

    def narrowed(self, rule: str | None, severity: Severity | None) -> Findings:
        return Findings(self._aside, rule or self._rule, severity or self._severity)

    @cached_property
    def counts(self) -> Counter[tuple[Severity, str]]:
        """How many there are of each weight and rule: gravest first, then by the rule's name."""
        counted = self._aside.counts(self._rule, self._weight)
        return Counter({(SEVERITIES[weight], rule): count for weight, rule, count in counted})

    def numbered(self) -> Iterator[tuple[int, Finding]]:
        """Each with the number by which `leave_out` knows it."""
        for number, record in self._aside.records(self._rule, self._weight):
            yield number, Finding.model_validate_json(record)

    def leave_out(self, numbers: Iterable[int]) -> None:
        self._aside.remove(numbers)
        self.__dict__.pop("counts", None)

    @property
    def _weight(self) -> int | None:
        return None if self._severity is None else SEVERITIES.index(self._severity)

    def __len__(self) -> int:
        return self.counts.total()

    def __iter__(self) -> Iterator[Finding]:
        return (finding for _, finding in self.numbered())

    @overload
    def __getitem__(self, index: int) -> Finding: ...
    @overload
    def __getitem__(self, index: slice) -> tuple[Finding, ...]: ...
    def __getitem__(self, index: int | slice) -> Finding | tuple[Finding, ...]:
        if isinstance(index, slice):
            return tuple(islice(self, *index.indices(len(self))))
        return next(islice(self, range(len(self))[index], None))


def put_aside(found: Iterable[Finding]) -> Findings:
    """All of them, taken one by one. Raises StoreError where there is no room for them."""
    return Findings(Aside(map(_put_aside, found)))


def _put_aside(finding: Finding) -> PutAside:
    place = finding.place
    record = finding.model_dump_json(exclude_defaults=True)
    weight = SEVERITIES.index(finding.severity)
    return PutAside(weight, place.file, place.line, place.column, finding.rule, record)
