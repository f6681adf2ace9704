"""The search."""

from __future__ import annotations

from itertools import groupby

from starlette.requests import Request
from starlette.responses import Response

from fightnotes.web.guarding import reads
from fightnotes.web.showing import kept_of, page


def search(request: Request) -> Response:
    """Moments that answer `q`, by bout in the order of their best."""
    library = kept_of(request).library
    query = request.query_params.get("q", "")
    found = library.find(query)
    hits = sorted(found.hits, key=lambda hit: [each.bout.id for each in found.hits].index(hit.bout.id))
    by_bout = [(bout, list(group)) for bout, group in groupby(hits, key=lambda hit: hit.bout)]
    return page(request, "search.html", query=query, found=found, by_bout=by_bout)


ROUTES = (reads("/", search),)
