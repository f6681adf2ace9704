"""What was done, counted; two sides held against each other; what follows what."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING, Any

from starlette.requests import Request
from starlette.responses import Response

from fightnotes.errors import UsageError
from fightnotes.library import Library, dimension_names
from fightnotes.web.asked import DAY, Parameters, filters_in, one_in, texts_in
from fightnotes.web.forms import asked_again, choice_in, form_page, moments_page
from fightnotes.web.guarding import reads
from fightnotes.web.showing import kept_of

if TYPE_CHECKING:
    from fightnotes.search.hit import Hit
    from fightnotes.tally.chains import Sequences
    from fightnotes.tally.compare import SideBySide, SideName
    from fightnotes.tally.follow import Who
    from fightnotes.tally.pictures import Shown
    from fightnotes.tally.tally import Tally

_SHOWN: tuple[Shown, ...] = ("acts", "per-round", "per-minute", "success")
_SIDES: tuple[SideName, ...] = ("first", "second")
_WHO: tuple[Who, ...] = ("either", "same", "other")
_STEPS = ("2", "3", "4")
_PICTURES = {"svg": "image/svg+xml", "png": "image/png"}
"""Media types (as IANA lists them) by the ending of a file."""


def tally(request: Request) -> Response:
    """Counts by one dimension or two; each number leads to its moments."""
    return form_page(request, "tally.html", _tally_shown, dimensions=[(name, name) for name in dimension_names()])


def tallied_moments(request: Request) -> Response:
    """Those of a row, a column or a cell of a tally."""
    return moments_page(request, ("row", "column"), "/tally", _tallied_moments)


def compare(request: Request) -> Response:
    """Two fighters or bouts, or the days before one and from it on; each number leads to its moments."""
    return form_page(request, "compare.html", _compare_shown)


def compared_moments(request: Request) -> Response:
    """Those of a concept on one side."""
    return moments_page(request, ("concept", "of"), "/compare", _compared_moments)


def follow(request: Request) -> Response:
    """Chains of concepts with their moments."""
    return form_page(request, "follow.html", _follow_shown)


def tally_picture(request: Request) -> Response:
    """That of a tally as a file to keep."""
    show = choice_in(request.query_params, "show", _SHOWN) or "acts"
    return _picture(request, lambda library, given: _tally(library, given, show), show)


def follow_picture(request: Request) -> Response:
    """That of chains as a file to keep."""
    return _picture(request, _follow)


def _picture(
    request: Request, answer: Callable[[Library, Parameters], Tally | Sequences | None], show: Shown = "acts"
) -> Response:
    """Raises UsageError where the link asks nothing."""
    library, kind = kept_of(request).library, request.path_params["kind"]
    drawn = answer(library, request.query_params)
    if drawn is None:
        raise UsageError("say what is to be counted")
    kept_as = {"content-disposition": f'attachment; filename="picture.{kind}"'}
    content = library.picture_as(drawn, f".{kind}", show)
    return Response(content, headers=kept_as, media_type=_PICTURES.get(kind))


def _picture_files(given: Parameters, path: str) -> list[tuple[str, str]]:
    return [(kind, asked_again(given, f"{path}/picture/{kind}")) for kind in _PICTURES]


def _tally_shown(library: Library, given: Parameters) -> dict[str, Any] | None:
    show = choice_in(given, "show", _SHOWN) or "acts"
    counted = _tally(library, given, show)
    if counted is None:
        return None
    link = partial(asked_again, given, "/tally/moments")
    return {
        "counted": counted,
        "show": show,
        "picture": library.picture(counted, show),
        "files": _picture_files(given, "/tally"),
        "link": link,
    }


def _tally(library: Library, given: Parameters, show: Shown) -> Tally | None:
    rows, columns = (choice_in(given, name, dimension_names()) for name in ("rows", "columns"))
    if rows is None:
        return None
    measure = None if not texts_in(given, "trend") else "per-round" if show == "acts" else show
    return library.tally(rows, columns, filters_in(given), inferred=_is_asked(given, "inferred"), trend=measure)


def _tallied_moments(library: Library, given: Parameters) -> tuple[Hit, ...]:
    counted = _tally(library, given, "acts")
    if counted is None:
        raise UsageError("rows: say what is counted by")
    return library.counted_moments(counted, given.get("row"), given.get("column"))


def _compare_shown(library: Library, given: Parameters) -> dict[str, Any] | None:
    compared = _compare(library, given)
    if compared is None:
        return None
    return {"compared": compared, "link": partial(asked_again, given, "/compare/moments")}


def _compare(library: Library, given: Parameters) -> SideBySide | None:
    sides, before = texts_in(given, "side"), one_in(given, "before", *DAY)
    if not sides and before is None:
        return None
    return library.compare(*sides, filters=filters_in(given), before=before, inferred=_is_asked(given, "inferred"))


def _compared_moments(library: Library, given: Parameters) -> tuple[Hit, ...]:
    compared, side = _compare(library, given), choice_in(given, "of", _SIDES)
    if compared is None or side is None:
        raise UsageError("side: say what is compared, and which side is meant")
    return library.compared_moments(compared, given.get("concept", ""), side)


def _follow_shown(library: Library, given: Parameters) -> dict[str, Any] | None:
    found = _follow(library, given)
    if found is None:
        return None
    return {"sequences": found, "picture": library.picture(found), "files": _picture_files(given, "/follow")}


def _follow(library: Library, given: Parameters) -> Sequences | None:
    if not _is_asked(given, "ask"):
        return None
    steps = choice_in(given, "steps", _STEPS)
    return library.follow(
        *texts_in(given, "concept"),
        filters=filters_in(given),
        within=one_in(given, "within", float, "seconds, such as 10"),
        who=choice_in(given, "who", _WHO) or "either",
        to_outcome=" ".join(texts_in(given, "to_outcome")) or None,
        steps=int(steps or _STEPS[0]),
        notes_apart=_is_asked(given, "notes_apart"),
        inferred=_is_asked(given, "inferred"),
    )


def _is_asked(given: Parameters, name: str) -> bool:
    return bool(texts_in(given, name))


ROUTES = (
    reads("/tally", tally),
    reads("/tally/moments", tallied_moments),
    reads("/tally/picture/{kind}", tally_picture),
    reads("/compare", compare),
    reads("/compare/moments", compared_moments),
    reads("/follow", follow),
    reads("/follow/picture/{kind}", follow_picture),
)
