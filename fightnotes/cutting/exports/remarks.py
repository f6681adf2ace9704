"""What is said once in an export that has room for a comment."""

from __future__ import annotations

from fightnotes.cutting.cautions import CAUTIONS
from fightnotes.cutting.cuts import CutList
from fightnotes.cutting.timeline import Timeline


def remarks(cut_list: CutList, timeline: Timeline) -> tuple[str, ...]:
    """Cautions, mixed rates and the list's notes, a line each."""
    mixed = (timeline.remark,) if timeline.remark else ()
    return tuple(" ".join(line.split()) for line in (*CAUTIONS, *mixed, *cut_list.notes))
