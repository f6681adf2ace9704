"""How a command that changes the library shows the change and makes it."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any, Literal

import typer

from fightnotes.cli.output import print_json, print_lines, say

if TYPE_CHECKING:
    from fightnotes.editing.plan import Plan
    from fightnotes.library import Library


DryRunOption = Annotated[bool, typer.Option("--dry-run", help="Show every line that would change, and change none.")]
ChangeFormatOption = Annotated[Literal["diff", "json"], typer.Option("--format", help="How to print the change.")]


def carry_out(library: Library, plan: Plan, dry_run: bool, format: str = "diff") -> None:
    """Print the plan, and make it unless it is a dry run."""
    diff = library.diff(plan)
    undo_file = None if dry_run else library.apply(plan)
    show_change(library, plan, diff, undo_file, format)
    for note in (*plan.refused, *plan.notes):
        say(note)
    if not plan.edits:
        say("nothing to change")
    elif dry_run:
        say(f"dry run: {_count(plan)} would change")
    else:
        say_made(plan)
        say("run `fightnotes build` before the next search")


def say_made(plan: Plan) -> None:
    say(f"{plan.title}: {_count(plan)} changed; `fightnotes vocabulary undo` takes it back")


def show_change(library: Library, plan: Plan, diff: list[str], undo_file: Path | None, format: str) -> None:
    if format == "json":
        print_json(as_json(library, plan, undo_file))
    else:
        show_diff(diff)


def show_diff(diff: list[str]) -> None:
    print_lines(diff)


def as_json(library: Library, plan: Plan, undo_file: Path | None) -> dict[str, Any]:
    edits = [{"file": e.file, "line": e.line, "old": _plain(e.old), "new": _plain(e.new)} for e in sorted(plan.edits)]
    made = undo_file.relative_to(library.root).as_posix() if undo_file else None
    return {"title": plan.title, "edits": edits, "notes": list(plan.notes), "undo_file": made}


def _count(plan: Plan) -> str:
    lines = sum(max(len(edit.old), len(edit.new)) for edit in plan.edits)
    files = len({edit.file for edit in plan.edits})
    return f"{lines} {'line' if lines == 1 else 'lines'} in {files} {'file' if files == 1 else 'files'}"


def _plain(lines: tuple[str, ...]) -> list[str]:
    return [line.rstrip("\r\n") for line in lines]
