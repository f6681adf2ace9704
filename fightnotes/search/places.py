"""A note by its place, `file:line`, as a person reads it off a result."""

from __future__ import annotations

from collections.abc import Iterable

from fightnotes.errors import UnknownName, UsageError
from fightnotes.index.store import Store
from fightnotes.model import Segment
from fightnotes.search.filters import Filters, matching_ids


def place_written(place: str) -> tuple[str, int]:
    """File and line of a place, `file:line`. Raises UsageError for what is none."""
    from fightnotes.reading.values import place_of  # few queries name a place, and what reads YAML comes with it

    try:
        return place_of(place)
    except ValueError as error:
        raise UsageError(f"'{place}' is no place of a note: write file:line, such as bouts/a.md:12") from error


def segment_at(place: str, store: Store) -> tuple[int, Segment]:
    """The id and the segment at a place: of nested ones, the innermost. Raises UsageError, UnknownName."""
    file, line = place_written(place)
    there = notes_in(file, store)
    if not there:
        raise UnknownName(f"the library has no notes in {file}")
    found = innermost(there.values(), line)
    if found is None:
        nearest = min(there.values(), key=lambda one: abs(one.line - line))
        raise UnknownName(f"no note stands at {place}; nearest is line {nearest.line}")
    return next(number for number, one in there.items() if one is found), found


def notes_in(file: str, store: Store) -> dict[int, Segment]:
    """The segments of a file by id; none of a file that has no notes."""
    bouts = tuple(
        bout.id for bout in store.bouts.values() if file in (bout.file, *(source.file for source in bout.sources))
    )
    segments = store.segments(matching_ids(Filters(bout=bouts), store) or []) if bouts else {}
    return {number: one for number, one in segments.items() if one.file == file}


def innermost(segments: Iterable[Segment], line: int) -> Segment | None:
    """Of the segments of one file, the innermost that holds a line."""
    holding = (one for one in segments if one.line <= line <= one.last_line)
    return max(holding, key=lambda one: one.line, default=None)
