"""The search."""

from __future__ import annotations

from starlette.requests import Request
from starlette.responses import Response

from fightnotes.errors import UsageError
from fightnotes.web.asked import LIMIT, MOST, Asked, asked_in
from fightnotes.web.guarding import reads
from fightnotes.web.showing import kept_of, page


def search(request: Request) -> Response:
    """Moments that answer what the link asks, by bout; what it asks wrongly is said above the form as it was sent."""
    kept, given = kept_of(request), request.query_params
    library = kept.library
    asked, found, fault = None, None, None
    try:
        asked = asked_in(given)
        if asked.anything:
            found = library.find(
                asked.query, asked.filters, like=asked.like, unlike=asked.unlike, limit=asked.limit, spread=asked.spread
            )
    except UsageError as error:
        fault = str(error)
    more = _link_to_more(asked) if asked and found and len(found.hits) == asked.limit else None
    told = () if kept.stale else library.notices()  # the head says that it is being renewed
    return page(
        request,
        "search.html",
        400 if fault else 200,
        given=given,
        choices=library.choices(),
        asked=asked,
        found=found,
        fault=fault,
        more=more,
        notices=(*(found.notices if found else ()), *told),
    )


def _link_to_more(asked: Asked) -> str | None:
    """The same with more moments, at the first that is new; None where no more may be asked for."""
    if asked.limit == MOST:
        return None
    return f"{asked.link(limit=min(asked.limit + LIMIT, MOST))}#hit-{asked.limit + 1}"


ROUTES = (reads("/", search),)
