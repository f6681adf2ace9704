"""What a rule is."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Literal

from fightnotes.audit.data import AuditData
from fightnotes.audit.finding import Location, Retag, Severity

Needs = Literal["text", "index", "footage"]


@dataclass(frozen=True)
class Remark:
    """What a rule has to say; the run turns it into a finding."""

    places: tuple[Location, ...]
    message: str
    about: str
    retags: tuple[Retag, ...] = ()
    fix: str = ""
    """What the retags do, in words."""


@dataclass(frozen=True)
class TooLittle:
    """What a rule had too little data to judge."""

    reason: str


def too_few(few: int, of: int, what: str) -> Iterator[TooLittle]:
    """That some were not judged, and why; nothing where all were."""
    if few:
        yield TooLittle(f"{few} of {of} {what}")


Check = Callable[[AuditData], Iterator[Remark | TooLittle]]


@dataclass(frozen=True)
class Rule:
    name: str
    severity: Severity
    """Unless `library.yaml` says otherwise."""
    summary: str
    check: Check
    needs: Needs = "text"
    """`index` where it compares meanings, for which the library must have been built; `footage` where it asks how
    long a recording is."""
    judged: bool = False
    """Whether it weighs evidence, and so may be wrong."""
