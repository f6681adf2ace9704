"""What is said once in an export that has room for a comment."""

from __future__ import annotations

from fightnotes.cutting.cautions import CAUTIONS
from fightnotes.cutting.cuts import CutList, one_line


def remarks(cut_list: CutList) -> tuple[str, ...]:
    """The cautions and the list's notes, a line each."""
    return tuple(one_line(line) for line in (*CAUTIONS, *cut_list.notes))
