"""The search."""

from __future__ import annotations

from typing import Any

from starlette.requests import Request
from starlette.responses import Response

from fightnotes.library import Library
from fightnotes.web.asked import LIMIT, MOST, Asked, Parameters, asked_in
from fightnotes.web.forms import form_page
from fightnotes.web.guarding import reads
from fightnotes.web.showing import kept_of


def search(request: Request) -> Response:
    """Moments that answer what the link asks, by bout; where it asks nothing, what can be asked."""
    kept = kept_of(request)
    # Once for an index, as what changes later is noticed: the head says then that it is being renewed.
    told = () if kept.stale else kept.once("notices", lambda library: library.notices())
    return form_page(request, "search.html", _answer, told=told)


def _answer(library: Library, given: Parameters) -> dict[str, Any] | None:
    asked = asked_in(given)
    if not asked.anything:
        return None
    moments = library.find(
        asked.query, asked.filters, like=asked.like, unlike=asked.unlike, limit=asked.limit, spread=asked.spread
    )
    return {
        "asked": asked,
        "moments": moments,
        "more": _link_to_more(asked, len(moments.hits)),
        "like": [library.moment_at(place) for place in asked.like],
        "unlike": [library.moment_at(place) for place in asked.unlike],
    }


def _link_to_more(asked: Asked, shown: int) -> str | None:
    """The same with more moments, at the first that is new; None where there are none or no more may be asked for."""
    if shown < asked.limit or asked.limit == MOST:
        return None
    return f"{asked.link(limit=min(asked.limit + LIMIT, MOST))}#hit-{asked.limit + 1}"


ROUTES = (reads("/", search),)
