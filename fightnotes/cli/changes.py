"""How a command that changes the library shows the change and makes it."""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from fightnotes.cli.output import print_json, say

if TYPE_CHECKING:
    from fightnotes.editing.line_edit import LineEdit
    from fightnotes.editing.plan import Plan
    from fightnotes.library import Library


class ChangeFormat(StrEnum):
    DIFF = "diff"
    JSON = "json"


DryRunOption = Annotated[bool, typer.Option("--dry-run", help="Show every line that would change, and change none.")]
ChangeFormatOption = Annotated[ChangeFormat, typer.Option("--format", help="How to print the change.")]


def carry_out(library: Library, plan: Plan, dry_run: bool, format: ChangeFormat) -> None:
    """Print the plan, and make it unless it is a dry run."""
    from fightnotes.editing.plan import diff_of

    diff = diff_of(library.root, plan.edits)
    undo_file = None if dry_run else library.apply(plan)
    show_change(library.root, plan.title, plan.edits, diff, plan.notes, undo_file, format)
    for note in plan.notes:
        say(note)
    if not plan.edits:
        say("nothing to change")
    elif dry_run:
        say(f"dry run: {_count(plan.edits)} would change")
    else:
        say(f"{plan.title}: {_count(plan.edits)} changed; `fightnotes vocabulary undo` takes it back")
        say("run `fightnotes build` before the next search")


def show_change(
    root: Path,
    title: str,
    edits: tuple[LineEdit, ...],
    diff: list[str],
    notes: tuple[str, ...],
    undo_file: Path | None,
    format: ChangeFormat,
) -> None:
    if format is ChangeFormat.DIFF:
        print("\n".join(map(_printable, diff)), end="\n" if diff else "")
        return
    document: dict[str, Any] = {
        "title": title,
        "edits": [{"file": e.file, "line": e.line, "old": _plain(e.old), "new": _plain(e.new)} for e in sorted(edits)],
        "notes": list(notes),
        "undo_file": undo_file.relative_to(root).as_posix() if undo_file else None,
    }
    print_json(document)


def _count(edits: tuple[LineEdit, ...]) -> str:
    lines = sum(max(len(edit.old), len(edit.new)) for edit in edits)
    files = len({edit.file for edit in edits})
    return f"{lines} {'line' if lines == 1 else 'lines'} in {files} {'file' if files == 1 else 'files'}"


def _plain(lines: tuple[str, ...]) -> list[str]:
    return [_printable(line.rstrip("\r\n")) for line in lines]


def _printable(line: str) -> str:
    """Bytes that are no UTF-8 shown as a mark; the edit itself keeps them."""
    return line.encode("utf-8", "replace").decode()
