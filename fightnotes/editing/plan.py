"""A planned change of the library's text files: shown, made as one, and taken back."""

from __future__ import annotations

import datetime
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from fightnotes.editing.atomic import write_file
from fightnotes.editing.line_edit import LineEdit, apply_edits, read_exact, shown
from fightnotes.editing.undo_file import FOLDER, Undo, read_undo, write_undo
from fightnotes.errors import FightnotesError, UsageError


@dataclass(frozen=True)
class Plan:
    title: str
    edits: tuple[LineEdit, ...]
    notes: tuple[str, ...] = ()
    """What the lines alone do not show."""
    refused: tuple[str, ...] = ()
    """What was asked for and is not among the edits, with the reason; a command ends with 1 then."""


def diff_of(root: Path, edits: Iterable[LineEdit]) -> list[str]:
    """The lines of a unified diff of what the edits would do to the files as they stand. Raises UnreadableFile."""
    edits = tuple(edits)
    texts = {file: read_exact(root / file) if (root / file).exists() else "" for file in {e.file for e in edits}}
    return list(shown(texts, edits))


def apply_plan(root: Path, plan: Plan) -> Path | None:
    """Make all the edits, or none, and leave the undo file whose path comes back; None where nothing changes.

    Raises UnreadableFile where a line was changed since the plan was made, FightnotesError where a file
    cannot be written; the undo file is one of them.
    """
    if not plan.edits:
        return None
    for file in {edit.file for edit in plan.edits}:
        if not (root / file).exists():  # a vocabulary begins as an empty file
            write_file(root / file, b"")
    back = apply_edits(root, plan.edits)
    try:
        return write_undo(root, plan.title, back, datetime.datetime.now(datetime.UTC))
    except FightnotesError:
        apply_edits(root, back)
        raise


def plan_undo(root: Path, path: Path | None = None) -> Plan:
    """What `take_back` would do. Raises UsageError where there is no undo file, UnreadableFile."""
    said = read_undo(path or _last_undo(root))
    return Plan(f"undo: {said.title}", said.edits)


def take_back(root: Path, path: Path | None = None) -> Undo:
    """Undo what the file says, else the change made last, all or nothing; the file goes, so that the change before
    is the next one.

    Raises UsageError where there is no undo file, UnreadableFile where a line was changed since.
    """
    path = path or _last_undo(root)
    said = read_undo(path)
    apply_edits(root, said.edits)
    path.unlink()
    return said


def _last_undo(root: Path) -> Path:
    files = sorted((root / FOLDER).glob("*.json"))
    if not files:
        raise UsageError(f"there is no undo file in {root / FOLDER}: nothing to take back")
    return files[-1]
