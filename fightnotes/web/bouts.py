"""The bouts of the library, and one bout round by round."""

from __future__ import annotations

from functools import partial
from typing import Any

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response

from fightnotes.library import Library
from fightnotes.web.asked import Parameters, filters_in
from fightnotes.web.forms import form_page, moment_address
from fightnotes.web.guarding import reads
from fightnotes.web.showing import kept_of, page


def bouts(request: Request) -> Response:
    """All bouts, the newest first."""
    kept = kept_of(request)
    library = kept.library
    listed = kept.once("noted bouts", Library.noted_bouts)
    recordings = {one.bout.id: library.named_recordings(one.bout) for one in listed}
    return page(request, "bouts.html", bouts=listed, recordings=recordings)


def bout(request: Request) -> Response:
    """The bout of an `id`: facts, picture, moments; both of these by the filters of the link."""
    library, id = kept_of(request).library, request.query_params.get("id", "")
    shown = library.store.bouts.get(id)
    if shown is None:
        raise HTTPException(404, f"the library has no bout '{id}'")
    return form_page(
        request,
        "bout.html",
        partial(_round_by_round, id),
        bout=shown,
        fighters=[(fighter.id, fighter.name) for fighter in shown.fighters],
        recordings=library.named_recordings(shown),
        problems=library.store.problems_of(shown),
    )


def _round_by_round(bout: str, library: Library, given: Parameters) -> dict[str, Any]:
    filters = filters_in(given)
    timeline = library.timeline(bout, filters)
    return {
        "picture": timeline.drawn(library.store.vocabulary, lambda segment: moment_address(segment.place)),
        "words": timeline.words,
        "rounds": library.round_moments(bout, filters),
    }


ROUTES = (reads("/bouts", bouts), reads("/bout", bout))
