"""The report as HTML: one file that needs nothing else, and the body of it for a page that has its own frame."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from fightnotes.audit.agreement import (
    Agreement,
    AgreementReport,
    Comparison,
    ConceptAgreement,
    Confusion,
    Noted,
    Overall,
)
from fightnotes.audit.finding import SEVERITIES, Finding, Location, Severity
from fightnotes.audit.report import AuditReport
from fightnotes.audit.rules import BY_NAME
from fightnotes.audit.silence import SUMMARY as REQUEST_SUMMARY
from fightnotes.pages.page import document
from fightnotes.pages.plots import Interval, bars, grid, intervals
from fightnotes.pages.templating import templates

_MEANS: dict[Severity, str] = {
    "error": "something is wrong and must be put right",
    "warning": "something is very likely wrong",
    "advice": "worth a look",
}
_MOST_CONFUSIONS = 12
MOST_SHOWN = 200
"""Findings of one rule and weight; nobody reads more on a page, and a page of them all would not open."""
_TEMPLATES = templates(Path(__file__).parent / "templates")

PlaceHref = Callable[[Location], str | None]
"""The address of what stands at a place; None where it has no page."""


@dataclass(frozen=True)
class FindingGroup:
    """What one rule found, of one weight."""

    severity: Severity
    rule: str
    summary: str
    count: int
    findings: tuple[Finding, ...]
    """The first of them, by place."""
    listing: str
    """The command that lists them all."""


@dataclass(frozen=True)
class UsesDrawn:
    """How often each concept was tagged, bout by bout."""

    span: str
    top: int
    charts: tuple[tuple[str, str], ...]
    """Caption and drawing."""


@dataclass(frozen=True)
class AgreementShown:
    """Of two analysts, or of all together."""

    title: str
    about: str
    coefficient: str
    measures: tuple[tuple[str, str], ...]
    by_concept: str
    """A drawing; empty where no concept came up often enough."""
    silent: int
    """Concepts that came up too seldom."""
    first: str = ""
    second: str = ""
    confused: str = ""
    """A drawing; empty where nothing was tagged by one analyst so and by the other otherwise."""
    alone: tuple[tuple[str, tuple[Location, ...]], ...] = ()


def html_report(report: AuditReport) -> str:
    """A whole HTML document, for a reader who has neither the program nor the library."""
    return document(f"Audit of {report.title or 'a library'}", audit_body(report))


def audit_body(report: AuditReport, href: PlaceHref = lambda _: None) -> str:
    """The report without a frame around it and without a title, with headings from the second level on."""
    return _TEMPLATES.get_template("audit_body.html").render(
        report=report,
        weights=[(severity, report.count(severity), _MEANS[severity]) for severity in SEVERITIES],
        groups=list(_groups(report)),
        uses=_uses(report) if report.uses else None,
        agreements=list(_agreements(report.agreement, report)) if report.agreement else (),
        href=href,
    )


def _groups(report: AuditReport) -> Iterator[FindingGroup]:
    for (severity, rule), count in report.findings.counts.items():
        known = rule in BY_NAME
        yield FindingGroup(
            severity,
            rule,
            BY_NAME[rule].summary if known else REQUEST_SUMMARY,
            count,
            report.findings.narrowed(rule, severity)[:MOST_SHOWN],
            f"fightnotes audit --only {rule}" if known else "fightnotes audit",
        )


def _uses(report: AuditReport) -> UsesDrawn:
    names = [f"{bout.date or 'no date'} {bout.title}" for bout in report.bouts]
    top = max(count for use in report.uses for count in use.by_bout.values())
    first = next((bout.date for bout in report.bouts if bout.date), None)
    last = next((bout.date for bout in reversed(report.bouts) if bout.date), None)
    ends = (first or "", last or "") if first != last else (first or "", "")
    charts = tuple(
        (
            f"{use.label} ({use.total})",
            bars(
                [use.by_bout.get(bout.id, 0) for bout in report.bouts],
                names,
                f"{use.label}: {use.total} notes",
                top,
                ends,
            ),
        )
        for use in report.uses
    )
    return UsesDrawn(f", from {first} to {last}" if first and last else "", top, charts)


def _agreements(agreed: AgreementReport, report: AuditReport) -> Iterator[AgreementShown]:
    if agreed.overall:
        overall = agreed.overall
        shown, silent = _by_concept(overall.concepts, "all")
        yield AgreementShown(
            title=f"All together: {', '.join(overall.analysts)}",
            about=f"{overall.moments} moments that at least two noted, in {len(overall.bouts)} bouts.",
            coefficient="alpha",
            measures=_measures(overall),
            by_concept=shown,
            silent=silent,
        )
    titles = {bout.id: bout.title for bout in report.bouts}
    for one in agreed.comparisons:
        pair = f"{one.first} and {one.second}"
        bouts = ", ".join(titles.get(bout, bout) for bout in one.bouts)
        shown, silent = _by_concept(one.concepts, pair)
        both = ((one.first, one.first_alone), (one.second, one.second_alone))
        yield AgreementShown(
            title=pair,
            about=f"{one.pairs} moments that both noted, in {bouts}.",
            coefficient="kappa",
            measures=_measures(one),
            by_concept=shown,
            silent=silent,
            first=one.first,
            second=one.second,
            confused=_confusions(one.confusions, one.first, one.second) if one.confusions else "",
            alone=tuple((analyst, tuple(map(_location, noted))) for analyst, noted in both if noted),
        )


def _measures(agreed: Comparison | Overall) -> tuple[tuple[str, str], ...]:
    return (
        ("all concepts, each apart", _told(agreed.alpha_nominal)),
        ("whole sets of tags", _told(agreed.alpha_masi)),
        ("where moments begin and end", _told(agreed.boundaries)),
    )


def _told(value: Agreement) -> str:
    return f"{value}, from {value.count}" if value.value is not None else str(value)


def _by_concept(concepts: Sequence[ConceptAgreement], who: str) -> tuple[str, int]:
    """A drawing of those that have a number, and how many have none."""
    shown = [
        Interval(
            one.label,
            one.agreement.value,
            one.agreement.low,
            one.agreement.high,
            f"{one.agreement.value:.2f}, agreed {one.both}, not {one.some}",
        )
        for one in concepts
        if one.agreement.value is not None
    ]
    chart = intervals(sorted(shown, key=lambda one: -one.value), f"Agreement of {who} on each concept")
    return chart if shown else "", len(concepts) - len(shown)


def _location(noted: Noted) -> Location:
    return Location(file=noted.file, line=noted.line, text=f"{noted.written_time} {noted.text}")


def _confusions(confusions: Sequence[Confusion], first: str, second: str) -> str:
    most = confusions[:_MOST_CONFUSIONS]
    rows = list(dict.fromkeys(one.first for one in most))
    columns = list(dict.fromkeys(one.second for one in most))
    counted = {(one.first, one.second): one.count for one in most}
    counts = [[counted.get((row, column), 0) for column in columns] for row in rows]
    return grid(rows, columns, counts, f"What {second} tagged where {first} tagged otherwise")
