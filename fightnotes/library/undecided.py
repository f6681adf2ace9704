"""A thing that waits for a person's decision: a mark that a note lacks, or a form that was misheard."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Sequence
from typing import Literal

from fightnotes.proposing.proposal import Proposal
from fightnotes.search.places import place_written
from fightnotes.suggesting.fields import FieldSuggestion
from fightnotes.suggesting.rejected import rejection_of
from fightnotes.suggesting.suggestion import Suggestion

Undecided = Suggestion | Proposal
Sort = Literal["tags", "fields", "misheard"]


def place_of(each: Undecided) -> tuple[str, int]:
    """File and line: of a misheard form, where it first stands."""
    segment = each.examples[0].segment if isinstance(each, Proposal) else each.segment
    return segment.file, segment.line


def sureness(each: Undecided) -> float:
    """0 to 1."""
    return each.score or 0.0 if isinstance(each, Proposal) else each.probability


def key_of(each: Undecided) -> str:
    """What it is known by while files are edited and the index is made anew: as a refusal, by file, time and words."""
    said = each.term if isinstance(each, Proposal) else rejection_of(each.segment, each.name).model_dump_json()
    return hashlib.sha256(said.encode()).hexdigest()[:16]


def sort_of(each: Undecided) -> Sort:
    if isinstance(each, Proposal):
        return "misheard"
    return "fields" if isinstance(each, FieldSuggestion) else "tags"


def narrowed(
    found: Iterable[Undecided], *, bout: str | None = None, only: Sort | None = None, above: float = 0.0
) -> tuple[Undecided, ...]:
    """Those of a bout, of a sort, and at least so sure."""
    return tuple(
        each
        for each in found
        if (bout is None or bout in _bouts_of(each))
        and (only is None or only == sort_of(each))
        and sureness(each) >= above
    )


def _bouts_of(each: Undecided) -> set[str]:
    if isinstance(each, Proposal):
        return {*each.bouts, *(example.bout.id for example in each.examples)}
    return {each.bout.id}


def number_from(waiting: Sequence[Undecided], key: str, place: str) -> int:
    """The number, from 0, of the thing that is known by a key; where it waits no longer, of the first that stands at
    the place, `file:line`, or behind it: their count where none does. Raises UsageError for what is no place."""
    line = place_written(place) if place else ("", 0)
    exactly = (number for number, each in enumerate(waiting) if key_of(each) == key)
    behind = (number for number, each in enumerate(waiting) if place_of(each) >= line)
    return next(exactly, next(behind, len(waiting)))
