"""CSV (RFC 4180): a row for each cut. The format has no comments."""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping
from typing import Any

from fightnotes.cutting.cuts import CutList
from fightnotes.cutting.media import Media
from fightnotes.cutting.rows import CUT_COLUMNS, rows_of
from fightnotes.cutting.timeline import Timeline
from fightnotes.visible import inert_cell


def write(cut_list: CutList, timeline: Timeline, media: Mapping[str, Media]) -> str:
    """Several values of one field are parted by spaces, several notes by semicolons. No text begins a formula."""
    out = io.StringIO(newline="")
    writer = csv.writer(out)
    writer.writerow(CUT_COLUMNS)
    for row in rows_of(cut_list, media):
        writer.writerow([_cell(column, row[column]) for column in CUT_COLUMNS])
    return out.getvalue()


def _cell(column: str, value: Any) -> object:
    if isinstance(value, list):
        value = ("; " if column == "notes" else " ").join(value)
    if isinstance(value, str):
        return inert_cell(value)
    if isinstance(value, bool):
        return "yes" if value else "no"
    return f"{value:.6f}" if column.endswith("seconds") else value
