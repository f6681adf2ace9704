"""What to tell where a search finds nothing, or nothing that says what was asked: never less than is known."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from fightnotes.index.store import Store
from fightnotes.language.words import stem, written_words
from fightnotes.search.filters import Filters, matching_ids
from fightnotes.search.fusion import Match
from fightnotes.search.query import Query

_OPTIONS = {"tags": "tag", "rounds": "round", "kind": "in"}
"""Filters whose option has another name."""
_FIELDS = ("by", "on", "outcome", "target")


def nothing_there(query: Query, filters: Filters, store: Store, count: Callable[[Filters], int]) -> tuple[str, ...]:
    """Why nothing was found, and what would be; `count` says how many moments answer under other filters."""
    if store.size == 0:
        return ("the library has no notes yet",)
    if filters != Filters():
        return tuple(_emptied(filters, store, count)) or ("no moment answers this, with or without the filters",)
    from rapidfuzz import fuzz, process  # few queries come here

    labels = [label for label, (_, role) in store.vocabulary.by_label.items() if role != "hidden"]
    near = process.extractOne(query.text.casefold()[:200], labels, scorer=fuzz.token_set_ratio)
    return (f"no moment answers this; the nearest label is “{near[0]}”" if near else "no moment answers this",)


def nothing_said(query: Query, store: Store, found: Sequence[Match]) -> tuple[str, ...]:
    """The words of the query that no note says, and no tag among what was found stands for."""
    tagged = {concept for one in found for concept in one.concepts}
    named = {stem(word) for one in query.concepts if one.concept in tagged for word in written_words(one.label)}
    missing = [word for word in query.words if stem(word) not in named and not store.holders(stem(word))]
    if missing and len(missing) == len(query.words):
        return ("no note mentions this: what is shown comes nearest in meaning",)
    return (f"no note says {', '.join(f'“{word}”' for word in missing)}",) if missing else ()


def _emptied(filters: Filters, store: Store, count: Callable[[Filters], int]) -> Iterator[str]:
    """A sentence for each filter without which some moments would answer; else for all of them together."""
    given = [name for name in Filters.model_fields if getattr(filters, name) and name not in ("alone", "written")]
    for name in given:
        wider = _without(filters, name)
        there = count(wider)
        if there:
            such = f"{there} such {'moment' if there == 1 else 'moments'} without --{_OPTIONS.get(name, name)}"
            unsaid = name in _FIELDS and not _says(name, wider, store)
            yield f"{such}, none has `{name}:`" if unsaid else such
    if len(given) > 1 and (there := count(Filters())):
        yield f"{there} such {'moment' if there == 1 else 'moments'} without any filter"


def _without(filters: Filters, name: str) -> Filters:
    return filters.model_copy(update={name: Filters.model_fields[name].default})


def _says(field: str, filters: Filters, store: Store) -> bool:
    """Whether any moment that passes the filters has the field at all."""
    return store.says(field, matching_ids(filters, store))
