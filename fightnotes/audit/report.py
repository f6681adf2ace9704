"""What the audit says of a library: its findings, and what stands beside them."""

from __future__ import annotations

from typing import Any

from pydantic import SerializationInfo, field_serializer

from fightnotes.audit.agreement import AgreementReport
from fightnotes.audit.finding import Severity, Skipped
from fightnotes.audit.findings import Findings
from fightnotes.model import Record


class ConceptTally(Record):
    """How often a concept was tagged in each bout, for the plots."""

    concept: str
    label: str
    total: int
    by_bout: dict[str, int]


class BoutLine(Record):
    """A bout as the report's plots show it."""

    id: str
    title: str
    date: str | None


class AuditReport(Record):
    title: str
    notes: int
    """How many notes were looked at, transcripts left out."""
    findings: Findings
    """Gravest first, then by place."""
    silenced: int
    """Findings that a line of the notes asked to be left out, with its reason."""
    known: int
    """Findings left out because the baseline has them."""
    skipped: tuple[Skipped, ...]
    bouts: tuple[BoutLine, ...] = ()
    """Oldest first, those without a date last."""
    uses: tuple[ConceptTally, ...] = ()
    """Most used first."""
    agreement: AgreementReport | None = None

    def narrowed(self, rule: str | None, severity: Severity | None) -> AuditReport:
        """The same with the findings of one rule, or of one weight, alone."""
        return self.model_copy(update={"findings": self.findings.narrowed(rule, severity)})

    @property
    def fails(self) -> bool:
        return any(severity != "advice" for severity, _ in self.findings.counts)

    def count(self, severity: Severity) -> int:
        return sum(count for (each, _), count in self.findings.counts.items() if each == severity)

    @field_serializer("findings")
    def _all_findings(self, findings: Findings, info: SerializationInfo) -> list[dict[str, Any]]:
        return [finding.model_dump(mode=info.mode) for finding in findings]
