"""A moment: its words, its recording at its time, and what stands around it."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response

from fightnotes.errors import UnknownName
from fightnotes.model import ACT_KEYS, Moment, Segment, acts_of
from fightnotes.model.moment import plain_seconds, time_fragment
from fightnotes.web.guarding import reads
from fightnotes.web.media import media_address, media_type
from fightnotes.web.showing import kept_of, page

if TYPE_CHECKING:
    from fightnotes.cutting.playing import Playable


def moment(request: Request) -> Response:
    """The moment at a place, on the recording asked for, else on the first at hand."""
    library = kept_of(request).library
    try:
        shown = library.moment_at(request.query_params.get("at", ""))
    except UnknownName as error:
        raise HTTPException(404, str(error)) from error
    ways = library.ways_to_play(shown)
    way = _chosen(ways, request.query_params.get("recording"))
    around = library.around(shown)
    return page(
        request,
        "moment.html",
        moment=shown,
        ways=ways,
        way=way,
        address=way and f"{media_address(shown.bout.id, way.name)}#{time_fragment(way.start, way.end)}",
        player=way and json.dumps(way.as_json()),
        is_sound=way is not None and way.path is not None and media_type(way.path).startswith("audio/"),
        times=tuple(_times(shown, ways)),
        around=around,
        said=tuple((one, plain_seconds(one.start_on(way.name)) if way else None) for one in around.said),
        acts=tuple(filter(None, _acts(shown.segment))),
    )


def _chosen(ways: Sequence[Playable], name: str | None) -> Playable | None:
    asked = [way for way in ways if way.name == name]
    at_hand = [way for way in ways if way.path is not None]
    return next(iter((*asked, *at_hand, *ways)), None)


def _times(shown: Moment, ways: Sequence[Playable]) -> Iterator[tuple[str, str]]:
    """What a person may want to copy, each with its name."""
    if shown.round_clock and shown.segment.round:
        yield "Round clock", f"R{shown.segment.round} {shown.round_clock}"
    for way in ways:
        of = "" if len(ways) == 1 else f" ({way.name})"
        yield f"Media time{of}", way.media_time
        if way.timecode:
            yield f"Timecode{of}", way.timecode
        if way.link:
            yield f"Link{of}", way.link
    yield "Note", shown.place


def _acts(segment: Segment) -> Iterator[str]:
    """Each tag with its fields, as one writes them."""
    for act in acts_of(segment):
        fields = (f"{key}:{value}" for key in ACT_KEYS for value in getattr(act.fields, key))
        yield " ".join((*([f"#{act.concept}"] if act.concept else []), *fields))


ROUTES = (reads("/moment", moment),)
