"""The main job: from a query to moments across bouts, each with its reason."""

from __future__ import annotations

import math
from collections.abc import Sequence
from fractions import Fraction
from functools import reduce
from typing import Any

import numpy as np

from fightnotes.index.encoder import Vectors
from fightnotes.index.store import Store
from fightnotes.index.vector_file import Ids
from fightnotes.language.labels import LabelFinder
from fightnotes.language.passages import passages_of
from fightnotes.language.words import stem, stems_of, words_of
from fightnotes.model import Bout, Record, Segment, acts_known
from fightnotes.search.filters import Filters, matching_ids
from fightnotes.search.fusion import Match, best_matches, count_matches
from fightnotes.search.hit import Hit, PassageSaid, Why
from fightnotes.search.moments import Scored, fold_moments, spread_bouts
from fightnotes.search.nothing import nothing_said, nothing_there
from fightnotes.search.once import once_per_store
from fightnotes.search.people import bouts_of_fighters, fighter_names
from fightnotes.search.polarity import polarity_of
from fightnotes.search.query import NameSought, Query, query_labels, read_query
from fightnotes.search.spelling import Mended, mend
from fightnotes.search.steering import Steering, read_steering
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

    @property
    def by_bout(self) -> tuple[tuple[Bout, tuple[tuple[int, Hit], ...]], ...]:
        """The hits with their ranks, from 1, bout by bout; the bout with the best hit first."""
        bouts: dict[str, list[tuple[int, Hit]]] = {}
        for rank, hit in enumerate(self.hits, 1):
            bouts.setdefault(hit.bout.id, []).append((rank, hit))
        return tuple((ranked[0][1].bout, tuple(ranked)) for ranked in bouts.values())

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
    like: Sequence[str] = (),
    unlike: Sequence[str] = (),
    limit: int = 20,
    spread: bool = False,
) -> Found:
    """The moments that answer `text`, best first, at most `limit`; without a word in it, those that pass the filters.

    `text` is data: any string is a query. `like` and `unlike` are places of notes, `file:line`: what is sought is like
    these and not like those. Raises UnknownName for a filter's value or a place that the library does not know.
    """
    text = text.encode("utf-8", "replace").decode()  # a shell's broken bytes come as half surrogate pairs
    mended = mend(text, store)
    query = read_query(mended.text, fighter_names(store), _labels(store)).model_copy(update={"text": text})
    steering = read_steering(like, unlike, store)
    asked = bool(words_of(text))
    if not asked and not steering:
        return _listed(query, filters, store, limit, spread)
    if store.size == 0:
        return Found(query=query, hits=(), notices=nothing_there(query, filters, store, lambda _: 0))
    vector = steering.moved(store.encoder.encode([query.meaning])[0] if asked else None, store)

    def answering(filters: Filters) -> int:
        return count_matches(query, vector, store, _allowed(query, filters, steering, store), mended.strange)

    among = _allowed(query, filters, steering, store)
    found = best_matches(query, vector, store, among, mended.strange, max(_LOOKED_AT * limit, 60))
    chosen = _moments(_judged(query, found, store), store, limit, spread)
    words = matched_words(query, store, (one.number for one in chosen))
    passages = store.passage_cosines(vector, np.array([one.number for one in chosen], dtype=np.int64))
    reasons = {one.number: one for one in found}
    hits = tuple(
        _hit(
            one,
            _why(one, reasons[one.number], words[one.number], query, steering.reasons(one.number, store)),
            store,
            _said(one.segment, passages.get(one.number), query),
        )
        for one in chosen
    )
    notices = _how_read(query, mended)
    if hits:
        notices += nothing_said(query, store, found)
    else:
        notices += nothing_there(query, filters, store, answering)
    return Found(query=query, hits=hits, notices=notices)


@once_per_store
def _labels(store: Store) -> LabelFinder:
    return query_labels(store.vocabulary)


def _listed(query: Query, filters: Filters, store: Store, limit: int, spread: bool) -> Found:
    """What the filters let through where nothing else is asked, bout by bout from the oldest on, each with score 1."""
    passing = matching_ids(filters, store)
    if passing is None:
        return Found(query=query, hits=(), notices=("nothing is asked: say what happened, or give a filter",))
    order = {bout: place for place, bout in enumerate(store.bouts)}
    scored = [Scored(number, 1.0, segment) for number, segment in store.segments(passing).items()]
    scored.sort(key=lambda one: (order[one.segment.bout], *_in_time(one.segment), one.number))
    chosen = _moments(scored, store, limit, spread)
    hits = tuple(_hit(one, Why(), store) for one in chosen)
    if hits:
        return Found(query=query, hits=hits)
    return Found(
        query=query, hits=(), notices=nothing_there(query, filters, store, lambda wider: _passing(wider, store))
    )


def _passing(filters: Filters, store: Store) -> int:
    ids = matching_ids(filters, store)
    return store.size if ids is None else len(ids)


def _in_time(segment: Segment) -> tuple[bool, Fraction]:
    """What has no media time comes last."""
    time = segment.start if segment.footage_start is None else segment.footage_start
    return time is None, time or Fraction(0)


def _allowed(query: Query, filters: Filters, steering: Steering, store: Store) -> Ids | None:
    """Ids within the filters and the bouts of the fighters named, less the notes that others are to be like; None for
    all."""
    passing = matching_ids(filters, store)
    groups = [] if passing is None else [np.array(passing, dtype=np.int64)]
    if query.names:
        named = {sought.fighter for sought in query.names}
        bouts = {bout for fighter in named for bout in bouts_of_fighters(store).get(fighter, ())}
        groups.append(store.ids_of(store.bouts[bout] for bout in bouts))
    if steering:
        groups.append(np.setdiff1d(store.ids, steering.ids))
    return reduce(np.intersect1d, groups) if groups else None


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
    acts = [act.fields for act in acts_known(segment)]
    people = {person for fields in acts for person in (fields.by if sought.role == "acts" else fields.on)}
    if sought.fighter in people:
        return _PART_FITS
    return _PART_DIFFERS if people else _PART_UNSAID


def _moments(ranked: Sequence[Scored], store: Store, limit: int, spread: bool) -> list[Scored]:
    moments = fold_moments(ranked, store.vectors_of([one.number for one in ranked]))
    return spread_bouts(moments, limit) if spread else moments[:limit]


def _why(one: Scored, match: Match, words: Sequence[str], query: Query, like: tuple[str, ...]) -> Why:
    named = {sought.concept: sought.label for sought in query.concepts}
    return Why(
        words=tuple(words),
        concepts=tuple(_concept_reason(concept, near, named) for concept, near in match.concepts.items()),
        meaning=round(match.meaning, 4),
        like=like,
        denies=one.polarity.denies,
        undone=one.polarity.undone,
    )


def _concept_reason(concept: str, nearness: float, named: dict[str, str]) -> str:
    if concept in named:
        return f"tag {concept} (“{named[concept]}”)"
    return f"tag {concept} (near {nearness:.2f})"


def _said(segment: Segment, cosines: Vectors | None, query: Query) -> PassageSaid | None:
    """The passage that comes nearest in meaning and says most of the query's words."""
    if cosines is None:
        return None
    sought = {stem(word) for word in query.words}
    pieces = passages_of(segment.text)
    shares = [len(sought.intersection(stems_of(segment.text[one.begin : one.stop]))) for one in pieces]
    piece = pieces[int(np.argmax(cosines + np.array(shares) / max(len(sought), 1)))]
    before = Fraction(piece.begin, len(segment.text))
    start, end = segment.start, segment.end
    about = None if start is None or end is None else start + (end - start) * before
    sentence = next((one for one in reversed(segment.sentences) if one.begin <= piece.begin), None)
    if sentence:
        about = sentence.start
    return PassageSaid(
        text=segment.text[piece.begin : piece.stop].strip(),
        line=segment.line + int(before * (segment.last_line - segment.line + 1)) if segment.kind == "note" else None,
        start=about,
    )


def _hit(one: Scored, why: Why, store: Store, said: PassageSaid | None = None) -> Hit:
    return Hit(
        segment=one.segment,
        bout=store.bouts[one.segment.bout],
        score=round(one.score, 6),
        why=why,
        same_moment=tuple(one.same_moment),
        said=said,
    )


def _how_read(query: Query, mended: Mended) -> tuple[str, ...]:
    notices = [f"“{written}” is in no note: read as “{read}”" for written, read in mended.changes]
    notices += [f"“{sought.written}” is read as {sought.fighter}, who {sought.role}" for sought in query.names]
    if query.denies:
        notices.append("the query denies something: moments that deny nothing rank lower")
    return tuple(notices)
