"""`fightnotes build`."""

from __future__ import annotations

from typing import TYPE_CHECKING

import typer

from fightnotes.cli.options import Format, FormatOption, LibraryOption, library_root
from fightnotes.cli.output import print_csv, print_json, say

if TYPE_CHECKING:
    from fightnotes.index.build import BuildReport

HELP = "Bring the index up to date with the notes; only what changed is read and embedded."


def run(library: LibraryOption = None, format: FormatOption = Format.TABLE) -> None:
    from fightnotes.cli.progress import TerminalProgress
    from fightnotes.library import open_library

    with TerminalProgress() as progress:
        report = open_library(library_root(library)).build(progress)
    if format is Format.JSON:
        print_json(report.model_dump(mode="json"))
    elif format is Format.CSV:
        print_csv(
            ("file", "line", "column", "found", "expected", "kind"),
            [(p.file, p.line, p.column, p.found, p.expected, p.kind) for p in report.problems],
        )
    else:
        print(summary(report))
    for problem in report.problems:
        say(str(problem))
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
