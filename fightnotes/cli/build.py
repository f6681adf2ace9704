"""`fightnotes build`."""

from __future__ import annotations

from typing import TYPE_CHECKING

import typer

from fightnotes.cli.options import FormatOption, LibraryOption, opened
from fightnotes.cli.output import PROBLEM_COLUMNS, print_lines, print_result, say, say_problem

if TYPE_CHECKING:
    from fightnotes.index.build import BuildReport

HELP = "Bring the index up to date with the notes; only what changed is read and embedded."


def run(library: LibraryOption = None, format: FormatOption = "table") -> None:
    from fightnotes.cli.progress import TerminalProgress

    with TerminalProgress() as progress:
        report = opened(library).build(progress)
    print_result(
        format,
        document=report.model_dump(mode="json"),
        columns=PROBLEM_COLUMNS,
        rows=map(vars, report.problems),
        table=lambda: print_lines([summary(report)]),
    )
    for problem in report.problems:
        say_problem(problem)
    for path in report.unclaimed:
        say(f"{path}: no bout's front matter names it, so it is not in the index")
    if report.problems:
        raise typer.Exit(1)


def summary(report: BuildReport) -> str:
    lines = [
        f"moments: {report.segments}; bouts: {report.bouts}",
        f"files read: {report.files_read}; bouts unchanged: {report.bouts_unchanged}; "
        f"texts embedded: {report.embedded}; vectors kept: {report.reused}",
    ]
    if report.moved:
        lines.append(f"moved: {', '.join(report.moved)}")
    if report.removed:
        lines.append(f"gone: {', '.join(report.removed)}")
    if report.problems:
        lines.append(f"problems: {len(report.problems)}, listed on standard error")
    return "\n".join(lines)
