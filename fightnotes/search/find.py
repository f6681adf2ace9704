"""The main job: from a query to moments across bouts, each with its reason."""

from __future__ import annotations

import math
from collections.abc import Sequence
from fractions import Fraction
from functools import reduce
from typing import Any

import numpy as np
from rapidfuzz import fuzz, process

from fightnotes.index.store import Store
from fightnotes.index.vector_file import Ids
from fightnotes.language.labels import LabelFinder
from fightnotes.language.words import words_of
from fightnotes.model import Record, Segment, acts_of
from fightnotes.search.filters import Filters, matching_ids
from fightnotes.search.fusion import Match, Sides, best_matches
from fightnotes.search.hit import Hit, Why
from fightnotes.search.moments import Scored, fold_moments, spread_bouts
from fightnotes.search.once import once_per_store
from fightnotes.search.people import fighter_names
from fightnotes.search.polarity import polarity_of
from fightnotes.search.query import NameSought, Query, query_labels, read_query
from fightnotes.search.spelling import Mended, mend
from fightnotes.search.words import matched_words

_LOOKED_AT = 4
"""Candidates looked at closely, for each hit that is asked for."""
_PART_FITS, _PART_UNSAID, _PART_DIFFERS = 1.0, 0.8, 0.5
"""What the score is multiplied with for the part that the fighter named in the query has in a moment."""


class Found(Record):
    query: Query
    hits: tuple[Hit, ...]
    notices: tuple[str, ...] = ()
    """How the query was read where that is not plain, and what to do when nothing was found."""

    def as_json(self) -> dict[str, Any]:
        """Plain values: the query, the hits and the notices."""
        return {
            "query": self.query.text,
            "hits": [hit.as_json() for hit in self.hits],
            "notices": list(self.notices),
        }


def find(
    store: Store,
    text: str,
    filters: Filters = Filters(),  # noqa: B008  immutable
    *,
    limit: int = 20,
    spread: bool = False,
    sides: Sides = Sides(),  # noqa: B008  immutable
) -> Found:
    """The moments that answer `text`, best first, at most `limit`; without a word in it, those that pass the filters.

    `text` is data: any string is a query. `sides` is for comparing meaning and words alone with the default.
    Raises UnknownName for a filter's value that the library does not know.
    """
    text = text.encode("utf-8", "replace").decode()  # a shell's broken bytes come as half surrogate pairs
    mended = mend(text, store)
    query = read_query(mended.text, fighter_names(store), _labels(store)).model_copy(update={"text": text})
    passing = matching_ids(filters, store)
    if not words_of(text):
        return _listed(query, passing, store, limit, spread)
    if store.size == 0:
        return Found(query=query, hits=(), notices=(_no_hit(query, store),))
    vector = store.encoder.encode([query.meaning])[0]
    among = _allowed(query, passing, store)
    found = best_matches(query, vector, store, among, sides, mended.strange, max(_LOOKED_AT * limit, 60))
    chosen = _moments(_judged(query, found, store), store, limit, spread)
    words = matched_words(query, store, (one.number for one in chosen))
    reasons = {one.number: one for one in found}
    hits = tuple(_hit(one, _why(one, reasons[one.number], words[one.number], query), store) for one in chosen)
    return Found(query=query, hits=hits, notices=tuple(_notices(query, mended, hits, store)))


@once_per_store
def _labels(store: Store) -> LabelFinder:
    return query_labels(store.vocabulary)


def _listed(query: Query, passing: Sequence[int] | None, store: Store, limit: int, spread: bool) -> Found:
    """What the filters let through where nothing else is asked, bout by bout from the oldest on, each with score 1."""
    if passing is None:
        return Found(query=query, hits=(), notices=("nothing is asked: say what happened, or give a filter",))
    order = {bout: place for place, bout in enumerate(store.bouts)}
    scored = [Scored(number, 1.0, segment) for number, segment in store.segments(passing).items()]
    scored.sort(key=lambda one: (order[one.segment.bout], *_in_time(one.segment), one.number))
    chosen = _moments(scored, store, limit, spread)
    hits = tuple(_hit(one, Why(), store) for one in chosen)
    return Found(query=query, hits=hits, notices=() if hits else ("no moment passes the filters",))


def _in_time(segment: Segment) -> tuple[bool, Fraction]:
    """What has no media time comes last."""
    time = segment.start if segment.footage_start is None else segment.footage_start
    return time is None, time or Fraction(0)


def _allowed(query: Query, passing: Sequence[int] | None, store: Store) -> Ids | None:
    """Ids within the filters and the bouts of the fighters named; None for all."""
    groups = [] if passing is None else [passing]
    if query.names:
        named = {sought.fighter for sought in query.names}
        bouts = tuple(bout.id for bout in store.bouts.values() if named & {fighter.id for fighter in bout.fighters})
        groups.append((matching_ids(Filters(bout=bouts), store) if bouts else None) or [])
    if not groups:
        return None
    return reduce(np.intersect1d, (np.array(group, dtype=np.int64) for group in groups))


def _judged(query: Query, found: Sequence[Match], store: Store) -> list[Scored]:
    """The candidates, after what they deny and who acts in them has been held against the query."""
    segments = store.segments(one.number for one in found)
    scored = []
    for one in found:
        segment = segments[one.number]
        polarity = polarity_of(query, segment)
        parts = (_part(sought, segment) for sought in query.names)
        scored.append(Scored(one.number, math.prod(parts, start=one.score * polarity.factor), segment, polarity))
    return sorted(scored, key=lambda one: (-one.score, one.number))


def _part(sought: NameSought, segment: Segment) -> float:
    """Whether the fighter has the part in a moment that the query gives him; a moment that does not say is between."""
    acts = [act.fields for act in acts_of(segment)]
    people = {person for fields in acts for person in (fields.by if sought.role == "acts" else fields.on)}
    if sought.fighter in people:
        return _PART_FITS
    return _PART_DIFFERS if people else _PART_UNSAID


def _moments(ranked: Sequence[Scored], store: Store, limit: int, spread: bool) -> list[Scored]:
    moments = fold_moments(ranked, store.vectors_of([one.number for one in ranked]))
    return spread_bouts(moments, limit) if spread else moments[:limit]


def _why(one: Scored, match: Match, words: Sequence[str], query: Query) -> Why:
    named = {sought.concept: sought.label for sought in query.concepts}
    return Why(
        words=tuple(words),
        concepts=tuple(_concept_reason(concept, near, named) for concept, near in match.concepts.items()),
        meaning=round(match.meaning, 4),
        denies=one.polarity.denies,
        undone=one.polarity.undone,
    )


def _hit(one: Scored, why: Why, store: Store) -> Hit:
    bout = store.bouts[one.segment.bout]
    return Hit(segment=one.segment, bout=bout, score=round(one.score, 6), why=why, same_moment=tuple(one.same_moment))


def _concept_reason(concept: str, nearness: float, named: dict[str, str]) -> str:
    if concept in named:
        return f"tag {concept} (“{named[concept]}”)"
    return f"tag {concept} (near {nearness:.2f})"


def _notices(query: Query, mended: Mended, hits: Sequence[Hit], store: Store) -> list[str]:
    notices = [f"“{written}” is in no note: read as “{read}”" for written, read in mended.changes]
    notices += [f"“{sought.written}” is read as {sought.fighter}, who {sought.role}" for sought in query.names]
    if query.denies:
        notices.append("the query denies something: moments that deny nothing rank lower")
    if not hits:
        notices.append(_no_hit(query, store))
    return notices


def _no_hit(query: Query, store: Store) -> str:
    """What to tell when there is no hit, with the nearest label of the vocabulary, by spelling."""
    if store.size == 0:
        return "the library has no notes yet"
    labels = [label for label, (_, role) in store.vocabulary.by_label.items() if role != "hidden"]
    near = process.extractOne(query.text.casefold()[:200], labels, scorer=fuzz.token_set_ratio)
    return f"no moment answers this; the nearest label is “{near[0]}”" if near else "no moment answers this"
