"""Which moments a cut list is to be made of: a saved list's, a query's or a filter's, and places named one by one."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from fightnotes.cutting.cuts import Candidate
from fightnotes.cutting.refind import Lost, Refound, refind
from fightnotes.cutting.saved import SavedList, read_saved
from fightnotes.errors import Problem, UsageError
from fightnotes.index.store import Store
from fightnotes.model import Record
from fightnotes.search.filters import Filters, matching_ids
from fightnotes.search.find import find
from fightnotes.search.places import segment_at

_HITS = 20
"""Of a query, where no limit is given: as many as a search answers with."""


class Selection(Record):
    """All parts add up, in this order."""

    saved: Path | None = None
    """A saved cut list, whose moments are found again."""
    accept: bool = False
    """Whether a moment of it that is lost may be replaced by what `refind` offers."""
    query: str = ""
    filters: Filters = Filters()
    """What the query's hits must be; without a query, all moments that pass are taken."""
    like: tuple[str, ...] = ()
    unlike: tuple[str, ...] = ()
    """Places of notes that the query's hits are to be like, or not; they go without a query, too."""
    limit: int | None = None
    """The most that a query or the filters give; None for 20 hits of a query, and all moments without one."""
    spread: bool = False
    """Prefer many bouts to many hits of one."""
    pick: tuple[int, ...] = ()
    """Numbers of the query's hits, from 1, in the order wanted; none for all hits."""
    at: tuple[str, ...] = ()
    """Places of notes, `file:line`; the file relative to the library."""

    @property
    def ranked(self) -> bool:
        """Whether hits are sought that have an order, rather than all that pass the filters."""
        return bool(self.query.strip() or self.like or self.unlike)


class Selected(Record):
    candidates: tuple[Candidate, ...]
    by_hand: tuple[Candidate, ...]
    """Those among them that a person named, rather than a search found."""
    saved: SavedList | None
    lost: tuple[Lost, ...] = ()
    """Moments of the saved list that are not in the notes any more."""
    problems: tuple[Problem, ...] = ()
    """What is wrong in the saved list."""
    notices: tuple[str, ...] = ()
    """How the query was read, and which moments of the saved list read otherwise now."""


def select(store: Store, selection: Selection) -> Selected:
    """Raises UsageError where nothing is selected, UnknownName for a place or a filter's value that is not there,
    UnreadableFile for a saved list that is none."""
    ranked = selection.ranked
    searched = ranked or selection.filters != Filters()
    if not (searched or selection.saved or selection.at):
        raise UsageError("say which moments: a query, a filter such as a tag, a saved list, or places of notes")
    if selection.accept and not selection.saved:
        raise UsageError("what may be accepted are the moments of a saved list: name the list")
    if selection.pick and not ranked:
        raise UsageError("hits are picked by number from those of a query: give the query")
    listed = Refound((), (), ())
    saved: SavedList | None = None
    problems: tuple[Problem, ...] = ()
    if selection.saved:
        saved, problems = read_saved(selection.saved, store.settings.handles)
        listed = refind(saved, store.every_segment().values(), store.bouts, selection.accept)
    found, notices = _searched(store, selection) if searched else ((), ())
    placed = tuple(candidate_at(place, store) for place in selection.at)
    labels = {concept.id: concept.label for concept in store.vocabulary.concepts}
    given, hits, noted = (tuple(_named(one, labels) for one in part) for part in (listed.candidates, found, placed))
    return Selected(
        candidates=(*given, *hits, *noted),
        by_hand=(*given, *(hits if selection.pick else ()), *noted),
        saved=saved,
        lost=listed.lost,
        problems=problems,
        notices=(*listed.remarks, *notices),
    )


def _searched(store: Store, selection: Selection) -> tuple[tuple[Candidate, ...], tuple[str, ...]]:
    """Candidates, best first, and how the query was read."""
    if not selection.ranked:
        ids = (matching_ids(selection.filters, store) or [])[: selection.limit]
        passed = store.segments(ids).values()
        return tuple(Candidate(segment=one, bout=store.bouts[one.bout]) for one in passed), ()
    limit = _HITS if selection.limit is None else selection.limit
    answer = find(
        store,
        selection.query,
        selection.filters,
        like=selection.like,
        unlike=selection.unlike,
        limit=limit,
        spread=selection.spread,
    )
    for number in selection.pick:
        if not 1 <= number <= len(answer.hits):
            raise UsageError(f"there is no hit {number}: the query has {len(answer.hits)}")
    hits = [answer.hits[number - 1] for number in selection.pick] or answer.hits
    candidates = (Candidate(segment=hit.segment, bout=hit.bout, relevance=hit.score) for hit in hits)
    return tuple(candidates), answer.notices


def candidate_at(place: str, store: Store) -> Candidate:
    """The note at a place, `file:line`. Raises UsageError, UnknownName."""
    _, segment = segment_at(place, store)
    return Candidate(segment=segment, bout=store.bouts[segment.bout])


def _named(candidate: Candidate, labels: Mapping[str, str]) -> Candidate:
    """With the preferred labels of its tags; a tag that the vocabulary lacks is its own words."""
    names = candidate.segment.tag_names
    techniques = dict.fromkeys(labels.get(name, name.replace("-", " ")) for name in names)
    return candidate.model_copy(update={"techniques": tuple(techniques)})
