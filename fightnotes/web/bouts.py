"""The bouts of the library."""

from __future__ import annotations

from starlette.requests import Request
from starlette.responses import Response

from fightnotes.web.guarding import reads
from fightnotes.web.showing import kept_of, page


def bouts(request: Request) -> Response:
    """All bouts, the oldest first."""
    return page(request, "bouts.html", bouts=tuple(kept_of(request).library.store.bouts.values()))


ROUTES = (reads("/bouts", bouts),)
