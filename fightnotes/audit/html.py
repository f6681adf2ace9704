"""The report as one HTML file that needs nothing else: no script, no font, no file beside it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby

from fightnotes.audit.agreement import (
    Agreement,
    AgreementReport,
    Comparison,
    ConceptAgreement,
    Confusion,
    Noted,
    Overall,
)
from fightnotes.audit.finding import SEVERITIES, AuditReport, Finding, Location
from fightnotes.audit.rules import BY_NAME
from fightnotes.audit.silence import SUMMARY as REQUEST_SUMMARY
from fightnotes.pages.page import document, escape
from fightnotes.pages.plots import Interval, bars, grid, intervals

_MEANS = {
    "error": "something is wrong and must be put right",
    "warning": "something is very likely wrong",
    "advice": "worth a look",
}
_MOST_CONFUSIONS = 12
_STYLE = """
.finding { margin: .9rem 0; break-inside: avoid; } .fix { margin-left: 1.2rem; font-size: .9rem; }
.uses { display: flex; flex-wrap: wrap; gap: 1rem 1.6rem; break-before: avoid; }
"""


def html_report(report: AuditReport) -> str:
    """A whole HTML document, for a reader who has neither the program nor the library."""
    title = f"Audit of {report.title or 'a library'}"
    parts = [
        f"<h1>{escape(title)}</h1>",
        *_summary(report),
        *_findings(report),
        *_uses(report),
        *(_agreement(report.agreement, report) if report.agreement else ()),
        *_skipped(report),
    ]
    return document(title, parts, _STYLE)


def _summary(report: AuditReport) -> Iterator[str]:
    yield (
        f"<p>{report.notes} notes from {len(report.bouts)} bouts were read against the vocabulary of techniques with "
        "which they are tagged. What follows is what looks wrong or doubtful, each with its place in the files "
        "and the reason. Where a rule weighs evidence, it can be mistaken: the notes decide.</p>"
    )
    rows = "".join(
        f"<tr><th>{severity}</th><td>{report.count(severity)}</td><td>{_MEANS[severity]}</td></tr>"
        for severity in SEVERITIES
    )
    yield f"<table><caption>Findings by weight</caption>{rows}</table>"
    if report.known or report.silenced:
        left_out = f"{report.known} known from before, {report.silenced} set aside with a reason"
        yield f"<p><small>Not shown: {left_out}.</small></p>"


def _findings(report: AuditReport) -> Iterator[str]:
    yield "<h2>Findings</h2>"
    if not report.findings:
        yield "<p>None.</p>"
    ordered = sorted(report.findings, key=lambda one: (SEVERITIES.index(one.severity), one.rule))
    for (severity, rule), group in groupby(ordered, key=lambda one: (one.severity, one.rule)):
        found = list(group)
        summary = BY_NAME[rule].summary if rule in BY_NAME else REQUEST_SUMMARY
        yield f"<section><h3>{severity}: {escape(rule)} ({len(found)})</h3><p>{escape(summary)}</p>"
        yield from (_finding(one) for one in found)
        yield "</section>"


def _finding(finding: Finding) -> str:
    places = "".join(_place(place) for place in finding.places)
    fix = f'<div class="fix">Can be mended: {escape(finding.fix.says)}.</div>' if finding.fix else ""
    return f'<div class="finding"><div>{escape(finding.message)}</div>{places}{fix}</div>'


def _place(place: Location) -> str:
    where = f"{place.file}:{place.line}" if place.line else place.file
    text = f'<div class="note" dir="auto">{escape(place.text)}</div>' if place.text else ""
    return f'<div class="place">{escape(where)}</div>{text}'


def _uses(report: AuditReport) -> Iterator[str]:
    if not report.uses:
        return
    names = [f"{bout.date or 'no date'} {bout.title}" for bout in report.bouts]
    top = max(count for use in report.uses for count in use.by_bout.values())
    first = next((bout.date for bout in report.bouts if bout.date), None)
    last = next((bout.date for bout in reversed(report.bouts) if bout.date), None)
    span = f", from {first} to {last}" if first and last else ""
    ends = (first or "", last or "") if first != last else (first or "", "")
    yield "<h2>Use of each concept over time</h2>"
    yield f"<p>One bar a bout{span}; all charts have the same scale, up to {top} notes in a bout.</p>"
    yield '<div class="uses">'
    for use in report.uses:
        values = [use.by_bout.get(bout.id, 0) for bout in report.bouts]
        chart = bars(values, names, f"{use.label}: {use.total} notes", top, ends)
        yield f"<figure>{chart}<figcaption>{escape(use.label)} ({use.total})</figcaption></figure>"
    yield "</div>"


def _agreement(agreed: AgreementReport, report: AuditReport) -> Iterator[str]:
    yield "<h2>Agreement between analysts</h2>"
    if not agreed.comparisons:
        yield "<p>No two analysts noted the same rounds of a bout, so there is nothing to compare.</p>"
        return
    yield (
        "<p>Moments that two analysts noted are laid side by side. 1 is full agreement, 0 is what chance "
        "would give; the line is the range in which the value lies with 95 % confidence, as far as bouts tell. "
        "Where too little was noted, no number is given, or no range.</p>"
    )
    if agreed.overall:
        analysts = ", ".join(agreed.overall.analysts)
        yield f"<h3>All together: {escape(analysts)}</h3>"
        yield f"<p>{agreed.overall.moments} moments that at least two noted, in {len(agreed.overall.bouts)} bouts.</p>"
        yield from _measures(agreed.overall, "all", "alpha")
    titles = {bout.id: bout.title for bout in report.bouts}
    for comparison in agreed.comparisons:
        pair = f"{comparison.first} and {comparison.second}"
        bouts = ", ".join(titles.get(bout, bout) for bout in comparison.bouts)
        yield f"<h3>{escape(pair)}</h3><p>{comparison.pairs} moments that both noted, in {escape(bouts)}.</p>"
        yield from _measures(comparison, pair, "kappa")
        yield from _confusions(comparison.confusions, comparison.first, comparison.second)
        yield from _alone(comparison.first, comparison.first_alone)
        yield from _alone(comparison.second, comparison.second_alone)
    if agreed.without_analyst or agreed.without_time:
        reasons = f"{agreed.without_analyst} notes have no analyst, {agreed.without_time} no time that can be placed"
        yield f"<p><small>Left out: {reasons}.</small></p>"


def _measures(agreed: Comparison | Overall, who: str, coefficient: str) -> Iterator[str]:
    rows = (
        ("all concepts, each apart", agreed.alpha_nominal),
        ("whole sets of tags", agreed.alpha_masi),
        ("where moments begin and end", agreed.boundaries),
    )
    cells = (f"<tr><th>{name}</th><td>{escape(_told(value))}</td></tr>" for name, value in rows)
    yield f"<table>{''.join(cells)}</table>"
    yield from _by_concept(agreed.concepts, who, coefficient)


def _told(value: Agreement) -> str:
    return f"{value}, from {value.count}" if value.value is not None else str(value)


def _by_concept(concepts: Sequence[ConceptAgreement], who: str, coefficient: str) -> Iterator[str]:
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
    if shown:
        chart = intervals(sorted(shown, key=lambda one: -one.value), f"Agreement of {who} on each concept")
        yield f"<h4>On each concept ({coefficient})</h4>{chart}"
    if silent := len(concepts) - len(shown):
        yield f"<p><small>{silent} concepts came up too seldom for a number.</small></p>"


def _alone(analyst: str, noted: Sequence[Noted]) -> Iterator[str]:
    if noted:
        yield f"<details><summary>{len(noted)} moments that only {escape(analyst)} noted</summary>"
        yield from (
            _place(Location(file=one.file, line=one.line, text=f"{one.written_time} {one.text}")) for one in noted
        )
        yield "</details>"


def _confusions(confusions: Sequence[Confusion], first: str, second: str) -> Iterator[str]:
    if not confusions:
        return
    most = confusions[:_MOST_CONFUSIONS]
    rows = list(dict.fromkeys(one.first for one in most))
    columns = list(dict.fromkeys(one.second for one in most))
    counted = {(one.first, one.second): one.count for one in most}
    counts = [[counted.get((row, column), 0) for column in columns] for row in rows]
    chart = grid(rows, columns, counts, f"What {second} tagged where {first} tagged otherwise")
    yield f"<h4>One concept for another</h4><p>{escape(first)} down the side, {escape(second)} along the top.</p>"
    yield f'<div class="scroll">{chart}</div>'


def _skipped(report: AuditReport) -> Iterator[str]:
    if report.skipped:
        yield "<h2>What was not judged</h2><ul>"
        yield from (f"<li>{escape(one.rule)}: {escape(one.reason)}</li>" for one in report.skipped)
        yield "</ul>"
