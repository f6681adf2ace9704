"""What a link asks of a library, and the link that asks it: one form for all pages.

Parameters are named as the options of `find` are (`--in` is `kind`, as in its JSON); the query is `q`. Empty ones ask
nothing, as a form sends all its controls.
"""

from __future__ import annotations

import datetime
from collections.abc import Callable
from typing import Any, TypeVar, get_args
from urllib.parse import urlencode

from starlette.datastructures import ImmutableMultiDict

from fightnotes import Filters, rounds_of
from fightnotes.errors import UsageError
from fightnotes.model import Corner, Kind, Pairing, Record

_T = TypeVar("_T")

LIMIT, MOST = 20, 500
"""How many moments an answer has where the link does not say, and how many it may ask for."""
_NAMES = {"tags": "tag", "rounds": "round"}
"""Of filters that a person knows by another name than the code."""
_MANY = tuple(field for field, said in Filters.model_fields.items() if said.default == ())
_FLAGS = tuple(field for field, said in Filters.model_fields.items() if said.default is False)
Parameters = ImmutableMultiDict[Any, Any]
"""Those of a link, or of a form that was sent."""


class Asked(Record):
    """A query with all that goes with it."""

    query: str = ""
    filters: Filters = Filters()
    like: tuple[str, ...] = ()
    unlike: tuple[str, ...] = ()
    limit: int = LIMIT
    spread: bool = False

    @property
    def anything(self) -> bool:
        """Whether there is a query, a filter or a place in it."""
        return self.model_copy(update={"limit": LIMIT, "spread": False}) != Asked()

    def parameters(self) -> list[tuple[str, str]]:
        """Name and value each; what is as it is without being asked for is left out."""
        named = [("q", self.query)] if self.query else []
        named += filter_parameters(self.filters)
        named += [(name, place) for name in ("like", "unlike") for place in getattr(self, name)]
        named += [("limit", str(self.limit))] if self.limit != LIMIT else []
        return named + ([("spread", "1")] if self.spread else [])

    def link(self, path: str = "/", **changes: Any) -> str:
        """To the page at `path` that is asked the same, but for what is changed."""
        return link_to(path, self.model_copy(update=changes).parameters())


def link_to(path: str, parameters: list[tuple[str, str]]) -> str:
    return f"{path}?{urlencode(parameters)}" if parameters else path


def asked_in(parameters: Parameters) -> Asked:
    """Raises UsageError for a value that cannot be read; names are looked up where they are used."""
    return Asked(
        query=" ".join(texts_in(parameters, "q")),
        filters=filters_in(parameters),
        like=texts_in(parameters, "like"),
        unlike=texts_in(parameters, "unlike"),
        limit=one_in(parameters, "limit", _limit_of, f"a number from 1 to {MOST}") or LIMIT,
        spread=bool(texts_in(parameters, "spread")),
    )


def filters_in(parameters: Parameters) -> Filters:
    """Raises UsageError as `asked_in` does."""
    given: dict[str, Any] = {field: texts_in(parameters, name_of(field)) for field in _MANY}
    given |= {field: bool(texts_in(parameters, name_of(field))) for field in _FLAGS}
    given |= {field: one_in(parameters, name_of(field), read, expected) for field, (read, expected) in _ONE.items()}
    return Filters(**given)


def filter_parameters(filters: Filters) -> list[tuple[str, str]]:
    """Name and value of each filter that is given, as `filters_in` reads them."""
    named: list[tuple[str, str]] = []
    for field in Filters.model_fields:
        value = getattr(filters, field)
        if field in _MANY:
            named += [(name_of(field), each) for each in value]
        elif value:
            named.append((name_of(field), "1" if field in _FLAGS else _written(field, value)))
    return named


def name_of(field: str) -> str:
    """A filter's name in links and forms."""
    return _NAMES.get(field, field)


def texts_in(parameters: Parameters, name: str) -> tuple[str, ...]:
    """All that is given by this name and is not empty."""
    return tuple(text for each in parameters.getlist(name) if (text := str(each).strip()))


def one_in(parameters: Parameters, name: str, read: Callable[[str], _T], expected: str) -> _T | None:
    """What is given by this name, read; the last where it is given twice. `read` raises ValueError, this UsageError."""
    texts = texts_in(parameters, name)
    if not texts:
        return None
    try:
        return read(texts[-1])
    except ValueError as error:
        raise UsageError(f"{name}: found '{texts[-1]}', expected {expected}") from error


def _one_of(values: tuple[str, ...]) -> tuple[Callable[[str], str], str]:
    def read(text: str) -> str:
        return values[values.index(text)]

    return read, f"{', '.join(values[:-1])} or {values[-1]}"


DAY = datetime.date.fromisoformat, "a day, such as 2031-03-08"
_ONE: dict[str, tuple[Callable[[str], Any], str]] = {
    "corner": _one_of(get_args(Corner)),
    "pairing": _one_of(get_args(Pairing)),
    "rounds": (rounds_of, "a round, such as 3, or several, such as 1-4"),
    "since": DAY,
    "until": DAY,
    "kind": _one_of(get_args(Kind)),
}
"""How filters of one value are read, and what is expected of them."""


def _written(field: str, value: Any) -> str:
    if field == "rounds":
        first, last = value
        return str(first) if first == last else f"{first}-{last}"
    return str(value)


def _limit_of(text: str) -> int:
    if not (text.isdecimal() and 1 <= int(text) <= MOST):
        raise ValueError(text)
    return int(text)
