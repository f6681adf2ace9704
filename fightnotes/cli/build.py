"""`fightnotes build`."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from fightnotes.cli.interrupts import interrupts
from fightnotes.cli.options import Format, FormatOption, LibraryOption, StoreOption, opened
from fightnotes.cli.output import PROBLEM_COLUMNS, print_lines, print_result, say, say_problem
from fightnotes.cli.streams import flush_output
from fightnotes.errors import FightnotesError

if TYPE_CHECKING:
    from fightnotes.index.build import BuildReport
    from fightnotes.library import Library

HELP = "Bring the index up to date with the notes; only what changed is read and embedded."


def run(
    library: LibraryOption = None,
    store: StoreOption = None,
    watch: Annotated[
        bool, typer.Option("--watch", help="Build again whenever a file changes, until the interrupt key (Ctrl-C).")
    ] = False,
    format: FormatOption = "table",
) -> None:
    from fightnotes.library import open_library

    if watch and format != "table":
        raise typer.BadParameter("gives no end to a document: leave --format out", param_hint="--watch")
    library_opened = open_library(opened(library).root, store)
    if watch:
        _watch(library_opened)
    elif _build(library_opened, format).problems:
        raise typer.Exit(1)


def _build(library: Library, format: Format) -> BuildReport:
    """Builds, and prints what was done and what is wrong."""
    from fightnotes.cli.progress import TerminalProgress

    with TerminalProgress() as progress:
        report = library.build(progress)
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
    return report


def _watch(library: Library) -> None:
    """The interrupt key is how watching ends, so it ends well; what keeps one build from working is said."""
    with interrupts() as came:
        try:
            say(f"watching {library.root}; Ctrl-C ends it")
            for changed in library.changes():
                if changed:
                    say(f"changed: {', '.join(changed)}")
                try:
                    _build(library, "table")
                except FightnotesError as error:
                    say(f"fightnotes: {error}")
                flush_output()
                if came:
                    break
        except KeyboardInterrupt:
            pass  # as wanted
    say("watching ended")


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
    if report.by_codes:
        lines.append("very many moments: a search looks closely at those whose vectors are likely to be near")
    if report.shared:
        shared = report.shared
        lines.append(
            f"shared store {shared.place}: bouts written: {shared.written}; gone: {shared.removed}; "
            f"unchanged: {shared.unchanged}"
        )
    if report.problems:
        lines.append(f"problems: {len(report.problems)}, listed on standard error")
    return "\n".join(lines)
