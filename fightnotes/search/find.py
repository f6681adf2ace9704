"""The main job: from a query to moments across bouts, each with its reason."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from rapidfuzz import fuzz, process

from fightnotes.index.store import Store
from fightnotes.index.vector_file import Ids
from fightnotes.language.names import name_index
from fightnotes.model import Record, Segment, acts_of
from fightnotes.search.filters import Filters, known_fighters, matching_ids
from fightnotes.search.fusion import NEAR_CONCEPT, Candidate, Sides, candidates
from fightnotes.search.hit import Hit, Place, Why, hit_of
from fightnotes.search.moments import Scored, fold, spread_bouts
from fightnotes.search.polarity import polarity_of
from fightnotes.search.query import NameSought, Query, quoted_spans, read_query
from fightnotes.search.spelling import Mended, mend
from fightnotes.search.words import matched_words, phrase_matches

_LOOKED_AT = 4
"""Candidates looked at closely, for each hit that is asked for."""
_PART_FITS, _PART_UNSAID, _PART_DIFFERS = 1.0, 0.85, 0.7
"""What the score is multiplied with for the part that the fighter named in the query has in a moment."""


class Found(Record):
    query: Query
    hits: tuple[Hit, ...]
    notices: tuple[str, ...] = ()
    """How the query was read where that is not plain, and what to do when nothing was found."""


def find(
    store: Store,
    text: str,
    filters: Filters = Filters(),  # noqa: B008  immutable
    *,
    limit: int = 20,
    spread: bool = False,
    sides: Sides = Sides(),  # noqa: B008  immutable
) -> Found:
    """The moments that answer `text`, best first, at most `limit`.

    `text` is data: any string is a query. `sides` is for comparing meaning and words alone with the default.
    Raises UnknownName for a filter's value that the library does not know.
    """
    names = name_index(known_fighters(store), misheard=True)
    mended = mend(text, quoted_spans(text), store, names)
    query = read_query(mended.text, names, store.vocabulary)
    among = _allowed(query, filters, store)
    if mended.says_nothing or store.size == 0:
        return Found(query=query, hits=(), notices=(_nothing_asked(query, store),))
    vector = store.encoder.encode([query.meaning])[0]
    found = {number: one for number, one in candidates(query, vector, store, among, sides).items() if one.found}
    ranked = _judged(query, found, store, limit)
    moments = fold(ranked, store.vectors_of([one.number for one in ranked]))
    chosen = spread_bouts(moments, limit) if spread else moments[:limit]
    words = matched_words(query, store, [one.number for one in chosen])
    hits = tuple(_hit(one, found[one.number], words.get(one.number, ()), query, store) for one in chosen)
    return Found(query=query, hits=hits, notices=tuple(_notices(query, mended, hits, store)))


def _allowed(query: Query, filters: Filters, store: Store) -> Ids | None:
    """Ids within the filters, the quoted phrases and the bouts of the fighters named."""
    groups: list[list[int]] = []
    filtered = matching_ids(filters, store)
    if filtered is not None:
        groups.append(filtered)
    if query.phrases:
        groups.append(phrase_matches(query, store))
    if query.names:
        named = {sought.fighter for sought in query.names}
        bouts = tuple(bout.id for bout in store.bouts.values() if named & {fighter.id for fighter in bout.fighters})
        groups.append(matching_ids(Filters(bout=bouts), store) or [] if bouts else [])
    if not groups:
        return None
    return np.array(sorted(set.intersection(*map(set, groups))), dtype=np.int64)


def _judged(query: Query, found: dict[int, Candidate], store: Store, limit: int) -> list[Scored]:
    """The best candidates, after what they deny and who acts in them has been held against the query."""
    numbers = sorted(found, key=lambda number: (-found[number].score, number))[: max(_LOOKED_AT * limit, 60)]
    scored = []
    for number, segment in store.segments(numbers).items():
        factor = polarity_of(query, segment).factor
        for sought in query.names:
            factor *= _part(sought, segment)
        scored.append(Scored(number, found[number].score * factor, segment))
    return sorted(scored, key=lambda one: (-one.score, one.number))


def _part(sought: NameSought, segment: Segment) -> float:
    """Whether the fighter has the part in a moment that the query gives him; a moment that does not say is between."""
    acts = [act.fields for act in acts_of(segment)]
    people = {person for fields in acts for person in (fields.by if sought.role == "acts" else fields.on)}
    if sought.fighter in people:
        return _PART_FITS
    return _PART_DIFFERS if people else _PART_UNSAID


def _hit(one: Scored, candidate: Candidate, words: Sequence[str], query: Query, store: Store) -> Hit:
    segment = one.segment
    polarity = polarity_of(query, segment)
    named = {sought.concept: sought.label for sought in query.concepts}
    why = Why(
        words=tuple(words),
        concepts=tuple(
            _concept_reason(concept, near, named)
            for concept, near in candidate.concepts.items()
            if near >= NEAR_CONCEPT
        ),
        meaning=round(candidate.meaning, 4),
        undone=polarity.undone,
    )
    hit = hit_of(segment, store.bouts[segment.bout], one.score, why)
    places = tuple(Place(file=twin.file, line=twin.line, analyst=twin.analyst) for twin in one.same_moment)
    return hit.model_copy(update={"same_moment": places})


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
        notices.append(_nothing_asked(query, store))
    return notices


def _nothing_asked(query: Query, store: Store) -> str:
    """What to tell when there is no hit: the nearest label of the vocabulary, by spelling."""
    if store.size == 0:
        return "the library has no notes yet"
    labels = list(store.vocabulary.by_label)
    near = process.extractOne(query.text.casefold()[:200], labels, scorer=fuzz.token_set_ratio)
    return f"no moment answers this; the nearest label is “{near[0]}”" if near else "no moment answers this"
