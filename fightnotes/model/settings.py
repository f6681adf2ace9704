"""What `library.yaml` may say; every key is optional."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from pydantic import Field

from fightnotes.clock import RoundFormat
from fightnotes.model.bout import Fighter, Record

TARGETS = ("head", "body", "arms", "legs")
OUTCOMES = (
    "landed", "partial", "blocked", "missed", "ignored", "worked", "failed",
    "hurt", "knockdown", "stoppage", "foul", "warning",
)  # fmt: skip


class Handles(Record):
    """Seconds added around a moment when it is cut."""

    before: Fraction = Fraction(2)
    after: Fraction = Fraction(2)


class Settings(Record):
    title: str = ""
    rounds: RoundFormat | None = None
    """Used by a bout that gives none."""
    handles: Handles = Handles()
    media_roots: tuple[str, ...] = ()
    default_length: Fraction = Fraction(12)
    """The longest that a segment without an end may be, in seconds."""
    outcomes: tuple[str, ...] = OUTCOMES
    fighters: tuple[Fighter, ...] = ()
    model: str | None = None
    """A sentence-transformers model name or folder; None for the default model."""
    audit: dict[str, Any] = Field(default_factory=dict)
    """Read by the audit."""

    @property
    def audit_baseline(self) -> str:
        """The file of findings that are known, relative to the library."""
        named = self.audit.get("baseline")
        return named if isinstance(named, str) and named else "audit-baseline.json"

    @property
    def field_values(self) -> dict[str, tuple[str, ...]]:
        """For each field of an act that takes words of a list, that list."""
        return {"outcome": self.outcomes, "target": TARGETS}
