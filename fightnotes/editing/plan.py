"""A planned change of the library's text files: shown, made as one, and taken back."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from fightnotes.editing.found_lines import found
from fightnotes.editing.journal import make, remove_folders
from fightnotes.editing.line_edit import LineEdit, decoded, inside, read_exact, read_file, shown
from fightnotes.editing.undo_file import DONE, FOLDER, Undo, digest_of, read_undo
from fightnotes.errors import UsageError


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

    Raises as `journal.make` does.
    """
    return make(root, plan.title, plan.edits) if plan.edits else None


def plan_undo(root: Path, path: Path | None = None) -> Plan:
    """What `take_back` would do: its lines are found where they stand now.

    Raises UsageError where there is no undo file, UnreadableFile where its lines are not found.
    """
    said = read_undo(path or _last_undo(root))
    edits: list[LineEdit] = []
    for file in dict.fromkeys(edit.file for edit in said.edits):
        own = [edit for edit in said.edits if edit.file == file]
        content = read_file(inside(root, file), file)
        untouched = file in said.files and digest_of(content) == said.files[file].after
        edits += own if untouched else found(file, decoded(content or b""), own)
    return Plan(f"undo: {said.title}", tuple(edits))


def take_back(root: Path, path: Path | None = None) -> Undo:
    """Undo what the file says, else the change made last, all or nothing; the file goes, so that the change before
    is the next one, and a file or folder of the library that the change began goes where nothing is left in it.

    Raises UsageError where there is no undo file, UnreadableFile where a line was changed since.
    """
    path = path or _last_undo(root)
    said, plan = read_undo(path), plan_undo(root, path)
    begun = [file for file, digests in said.files.items() if digests.before is None]
    make(root, plan.title, plan.edits, path.name, begun)
    remove_folders(root, said)
    return said


def _last_undo(root: Path) -> Path:
    files = sorted((root / FOLDER).glob(f"*{DONE}"))
    if not files:
        raise UsageError(f"there is no undo file in {root / FOLDER}: nothing to take back")
    return files[-1]
