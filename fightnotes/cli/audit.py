"""`fightnotes audit`."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from fightnotes.cli.changes import say_made
from fightnotes.cli.layout import print_blocks, print_long_table, print_table, whole
from fightnotes.cli.options import Format, FormatOption, LibraryOption, StoreOption, opened
from fightnotes.cli.output import print_lines, print_result, say, say_notices

if TYPE_CHECKING:
    from fightnotes.audit.agreement import Agreement, AgreementReport, Comparison, Noted, Overall
    from fightnotes.audit.finding import Finding
    from fightnotes.audit.report import AuditReport

HELP = """Say what in the notes and the vocabulary looks wrong or doubtful, and mend what is safe to mend.

Ends with 1 where there are errors or warnings. As a git hook, put `exec fightnotes audit --staged --library .` into
.git/hooks/pre-commit; set the baseline and commit it first, so that only new findings hold a commit up."""


def run(
    library: LibraryOption = None,
    store: StoreOption = None,
    only: Annotated[
        list[str] | None, typer.Option(metavar="RULE", help="Run this rule alone; may be repeated.")
    ] = None,
    rules: Annotated[bool, typer.Option("--rules", help="List the rules and end.")] = False,
    fix: Annotated[bool, typer.Option("--fix", help="Make the changes that are safe.")] = False,
    dry_run: Annotated[bool, typer.Option("--dry-run", help="With --fix: show the changes, make none.")] = False,
    baseline: Annotated[bool, typer.Option(help="Leave out what the baseline knows.")] = True,
    set_baseline: Annotated[bool, typer.Option("--set-baseline", help="Take what is found now as known.")] = False,
    staged: Annotated[bool, typer.Option("--staged", help="Look at what git will commit, not at the files.")] = False,
    html: Annotated[Path | None, typer.Option(metavar="FILE", help="Write the report as one HTML file.")] = None,
    agreement: Annotated[bool, typer.Option("--agreement", help="Compare analysts who noted the same bout.")] = False,
    format: FormatOption = "table",
) -> None:
    if rules:
        _print_rules(format)
        return
    if dry_run and not fix:
        raise typer.BadParameter("goes with --fix", param_hint="--dry-run")
    if set_baseline and (fix or only):
        raise typer.BadParameter("goes with neither --fix nor --only", param_hint="--set-baseline")
    if staged and (fix or set_baseline):
        raise typer.BadParameter("goes with neither --fix nor --set-baseline", param_hint="--staged")
    library_opened = opened(library, store)
    known = baseline and not set_baseline
    with_agreement = agreement or html is not None
    report = library_opened.audit(only=only or (), use_baseline=known, with_agreement=with_agreement, staged=staged)
    say_notices(library_opened)
    if fix:
        plan = library_opened.plan_fixes(report)
        for line in library_opened.diff(plan):
            say(line)
        if plan.edits and not dry_run:
            library_opened.apply(plan)
            say_made(plan)
            report = library_opened.audit(only=only or (), use_baseline=known, with_agreement=with_agreement)
    if html is not None:
        library_opened.write_audit_html(report, html)
        say(f"wrote {html}")
    _print(report, format, agreement)
    if set_baseline:
        file = library_opened.set_audit_baseline(report)
        say(f"wrote {file}: {len(report.findings)} findings are known from now on")
    elif report.fails:
        raise typer.Exit(1)


def _print_rules(format: Format) -> None:
    from fightnotes.library import audit_rules

    header = ("rule", "severity", "needs", "judged", "what it finds")
    rows = [
        (rule.name, rule.severity, rule.needs, "yes" if rule.judged else "no", rule.summary) for rule in audit_rules()
    ]
    plain = [dict(zip(header, row, strict=True)) for row in rows]
    print_result(format, document=plain, columns=header, rows=plain, table=lambda: print_table(header, rows, wide=4))


_COLUMNS = ("severity", "rule", "file", "line", "column", "message", "text", "fix")


def _print(report: AuditReport, format: Format, agreement: bool) -> None:
    without = report.model_copy(update={"findings": ()})
    print_result(
        format,
        document=without.model_dump(mode="json", exclude=set() if agreement else {"agreement"}),
        columns=_COLUMNS,
        rows=map(_flat, report.findings),
        table=lambda: _print_table(report, agreement),
        streamed={"findings": (finding.model_dump_json(indent=2) for finding in report.findings)},
    )
    if format != "table":
        for line in _not_judged(report):
            say(line)


def _not_judged(report: AuditReport) -> Iterator[str]:
    """What was not looked at, or had too little to go by; rules with the same reason together."""
    for reason in dict.fromkeys(one.reason for one in report.skipped):
        names = ", ".join(one.rule for one in report.skipped if one.reason == reason)
        yield f"not judged, {names}: {reason}"


def _flat(finding: Finding) -> dict[str, Any]:
    return {**finding.model_dump(), **finding.place.model_dump(), "fix": finding.fix.says if finding.fix else ""}


def _print_table(report: AuditReport, agreement: bool) -> None:
    if report.findings:
        print_long_table(("where", "what", "rule"), lambda: map(_row, report.findings), wide=1)
    print_lines([summary(report), *_not_judged(report)])
    if agreement and report.agreement:
        _print_agreement(report.agreement)


def _row(finding: Finding) -> tuple[str, str, str]:
    place = finding.place
    where = f"{place.file}:{place.line}:{place.column}" if place.line else place.file
    fix = f"--fix: {finding.fix.says}" if finding.fix else ""
    shown = [f"  {whole(f'{other.file}:{other.line}')}  {other.text}" for other in finding.places[1:]]
    return (
        whole(where),
        "\n".join(filter(None, (finding.message, place.text, *shown, fix))),
        f"{finding.severity}\n{finding.rule}",
    )


def summary(report: AuditReport) -> str:
    counts = f"{report.count('error')} errors, {report.count('warning')} warnings, {report.count('advice')} advice"
    left_out = [
        f"{report.known} known from the baseline" if report.known else "",
        f"{report.silenced} set aside on their line" if report.silenced else "",
    ]
    return "; ".join(filter(None, (f"{report.notes} notes: {counts}", *left_out)))


def _print_agreement(report: AgreementReport) -> None:
    if not report.comparisons:
        print_lines(["no two analysts noted the same rounds of a bout"])
    if report.overall:
        analysts, bouts = ", ".join(report.overall.analysts), len(report.overall.bouts)
        print_lines(["", f"all together ({analysts}): {report.overall.moments} moments in {bouts} bouts"])
        _print_measures(report.overall, "alpha")
    for one in report.comparisons:
        print_lines(["", f"{one.first} and {one.second}: {one.pairs} moments in {', '.join(one.bouts)}"])
        alone = f"{len(one.first_alone)} by {one.first}, {len(one.second_alone)} by {one.second}"
        print_lines([f"without a match in rounds that both noted: {alone}"])
        _print_measures(one, "kappa")
        for told in one.disagreements[:_MOST_SHOWN]:
            print_blocks([["talk over:", *map(_noted, (told.first, told.second))]])
        for noted in (*one.first_alone[:_MOST_SHOWN], *one.second_alone[:_MOST_SHOWN]):
            print_blocks([[f"{noted.analyst} alone: {whole(f'{noted.file}:{noted.line}')} {noted.written_time}"]])
    if left_out := report.without_analyst + report.without_time:
        reasons = f"{report.without_analyst} have no analyst, {report.without_time} no time that can be placed"
        print_lines(["", f"left out: {left_out} notes, of which {reasons}"])


_MOST_SHOWN = 5


def _print_measures(agreed: Comparison | Overall, coefficient: str) -> None:
    rows = [
        ("all concepts (alpha)", _told(agreed.alpha_nominal)),
        ("tag sets (alpha, MASI)", _told(agreed.alpha_masi)),
        ("boundaries", _told(agreed.boundaries)),
        *(
            (f"{one.label} ({coefficient})", _told(one.agreement))
            for one in agreed.concepts
            if one.agreement.value is not None
        ),
    ]
    print_table(("on", "agreement, 95 % interval, count"), rows, wide=1)
    if silent := sum(one.agreement.value is None for one in agreed.concepts):
        print_lines([f"too little to tell of {silent} more concepts"])


def _noted(one: Noted) -> str:
    return f"{whole(f'{one.file}:{one.line}')} {' '.join(one.tags) or 'no tag'}"


def _told(value: Agreement) -> str:
    return f"{value}, {value.count}" if value.value is not None else f"{value} ({value.count})"
