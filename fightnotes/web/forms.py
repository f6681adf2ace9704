"""Pages of a form and what its link asks: the answer below it, or beside it what was asked wrongly."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from itertools import groupby
from typing import Any, TypeVar

from starlette.requests import Request
from starlette.responses import Response

from fightnotes import Filters, Moment
from fightnotes.errors import UsageError
from fightnotes.library import Library
from fightnotes.web.asked import Parameters, link_to, name_of, one_in, texts_in
from fightnotes.web.showing import kept_of, page

_S = TypeVar("_S", bound=str)

Answer = Callable[[Library, Parameters], dict[str, Any] | None]
"""What a template shows of an answer; None where the link asks nothing yet."""


def form_page(request: Request, template: str, answer: Answer, **values: Any) -> Response:
    """The page of a form; what `answer` raises as UsageError is said beside the form, which stays as it was sent."""
    kept, given = kept_of(request), request.query_params
    library = kept.library
    found, fault = None, None
    try:
        found = answer(library, given)
    except UsageError as error:
        fault = str(error)
    return page(
        request,
        template,
        400 if fault else 200,
        given=given,
        choices=library.choices(),
        narrowed=any(texts_in(given, name_of(field)) for field in Filters.model_fields),
        found=found,
        fault=fault,
        moment_address=moment_address,
        **values,
    )


def moments_page(
    request: Request, opens: tuple[str, ...], back: str, answer: Callable[[Library, Parameters], Iterable[Moment]]
) -> Response:
    """The moments behind a number of the page `back`; `opens` are the parameters that say which. Raises as `answer`."""
    given = request.query_params
    hits = tuple(answer(kept_of(request).library, given))
    return page(
        request,
        "moments.html",
        title=", ".join(given[name] for name in opens if name in given) or "all",
        hits=hits,
        by_bout=[(bout, list(told)) for bout, told in groupby(hits, key=lambda hit: hit.bout)],
        back=asked_again(given, back, without=opens),
    )


def choice_in(given: Parameters, name: str, values: tuple[_S, ...]) -> _S | None:
    """One of these values. Raises UsageError for another."""

    def read(text: str) -> _S:
        return values[values.index(text)]

    return one_in(given, name, read, f"one of {', '.join(values)}")


def asked_again(given: Parameters, path: str, *more: tuple[str, str], without: tuple[str, ...] = ()) -> str:
    """The link to a path that asks the same and this, too."""
    kept = [(name, value) for name, value in given.multi_items() if value and name not in without]
    return link_to(path, [*kept, *more])


def moment_address(place: str) -> str:
    """That of the page of a moment, by `file:line`."""
    return link_to("/moment", [("at", place)])
