"""Questions answered, and the sheet of two fighters who are to meet."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from starlette.requests import Request
from starlette.responses import Response

from fightnotes.errors import UsageError
from fightnotes.library import Library
from fightnotes.web.asked import Parameters, filters_in, texts_in
from fightnotes.web.forms import asked_again, form_page, moment_address
from fightnotes.web.guarding import reads
from fightnotes.web.showing import kept_of

if TYPE_CHECKING:
    from fightnotes.briefing.sheet import MatchSheet

_KINDS = {"html": "text/html", "md": "text/markdown", "json": "application/json"}
"""Media types (RFC 7763 for Markdown) by the ending of a file."""


def answer(request: Request) -> Response:
    """A question answered, each sentence with its moments."""
    return form_page(request, "answer.html", _answer_shown)


def sheet(request: Request) -> Response:
    """Two fighters before they meet, as it is in the file that is handed on."""
    return form_page(request, "sheet.html", _sheet_shown)


def sheet_file(request: Request) -> Response:
    """The same as a file to keep."""
    library, kind = kept_of(request).library, request.path_params["kind"]
    made = _sheet(library, request.query_params)
    if made is None:
        raise UsageError("name the two fighters")
    kept_as = {"content-disposition": f'attachment; filename="sheet.{kind}"'}
    return Response(library.sheet_as(made, f".{kind}"), headers=kept_as, media_type=_KINDS.get(kind))


def _answer_shown(library: Library, given: Parameters) -> dict[str, Any] | None:
    question = " ".join(texts_in(given, "q"))
    if not question:
        return None
    found = library.answer(question, filters_in(given), inferred=bool(texts_in(given, "inferred")))
    sentences, moments = found.numbered()
    return {"answer": found, "sentences": sentences, "moments": moments}


def _sheet_shown(library: Library, given: Parameters) -> dict[str, Any] | None:
    made = _sheet(library, given)
    if made is None:
        return None
    return {
        "sheet": made,
        "body": library.sheet_body(made, moment_address),
        "files": [(kind, asked_again(given, f"/sheet/{kind}")) for kind in _KINDS],
    }


def _sheet(library: Library, given: Parameters) -> MatchSheet | None:
    """None where nobody is named yet."""
    first, second = (" ".join(texts_in(given, name)) for name in ("first", "second"))
    if not first and not second:
        return None
    if not (first and second):
        raise UsageError("name both fighters")
    return library.sheet(first, second, filters_in(given), inferred=bool(texts_in(given, "inferred")))


ROUTES = (reads("/answer", answer), reads("/sheet", sheet), reads("/sheet/{kind}", sheet_file))
