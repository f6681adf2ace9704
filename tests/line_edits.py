"""Line edits made in the files at once, where a test is about the edits and not about the journal."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from fightnotes.editing.atomic import replace_files
from fightnotes.editing.line_edit import LineEdit, changes_of


def apply_edits(root: Path, edits: Iterable[LineEdit]) -> tuple[LineEdit, ...]:
    """Make all the edits, or none; gives the edits that undo them."""
    changes = changes_of(root, edits)
    replace_files({one.path: (one.before, one.after) for one in changes}, "test")
    return tuple(edit for one in changes for edit in one.back)
