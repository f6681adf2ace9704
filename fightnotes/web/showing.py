"""Pages from templates, and what every page shows."""

from __future__ import annotations

from http import HTTPStatus
from pathlib import Path
from typing import Any

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import FileResponse, HTMLResponse, Response

from fightnotes.errors import ExportError, FightnotesError, StoreError, UnreadableFile, UsageError
from fightnotes.model.cautions import CAUTIONS
from fightnotes.pages.page import page_style
from fightnotes.pages.templating import templates
from fightnotes.web.kept import KeptLibrary

_HERE = Path(__file__).parent
STATIC = _HERE / "static"
_TEMPLATES = templates(_HERE / "templates")
_PAGES = (
    ("/", "Search"),
    ("/bouts", "Bouts"),
    ("/decide", "Decide"),
    ("/cuts", "Cut lists"),
    ("/answer", "Answer"),
    ("/sheet", "Match sheet"),
    ("/tally", "Tally"),
    ("/compare", "Compare"),
    ("/follow", "What follows"),
    ("/audit", "Audit"),
)
"""What the head of every page links to."""


def kept_of(request: Request) -> KeptLibrary:
    kept: KeptLibrary = request.app.state.kept
    return kept


def page(request: Request, template: str, /, status: int = 200, **values: Any) -> HTMLResponse:
    """A page; `values` are what its template names. Each has `library_title`, `token` and what `frame.html` shows."""
    kept = kept_of(request)
    library = kept.library
    shown = _TEMPLATES.get_template(template).render(
        **values,
        library_title=library.store.settings.title or library.root.name,
        pages=_PAGES,
        here=request.url.path,
        token=request.app.state.token,
        cut_list_names=library.cut_list_names,
        trouble=kept.trouble,
        stale=kept.stale,
        cut_off=library.take_notices(),
        file_problems=kept.problems,
        cautions=CAUTIONS,
    )
    return HTMLResponse(shown, status)


def style(request: Request) -> Response:
    """The one style sheet: that of all our pages, and what only the served page needs."""
    own = (STATIC / "web.css").read_text(encoding="utf-8")
    return Response(f"{page_style()}{own}", media_type="text/css")


def script(request: Request) -> Response:
    """A script by its name."""
    name = request.path_params["name"]
    if name not in {path.name for path in STATIC.glob("*.js")}:
        raise HTTPException(404, "there is no such script")
    return FileResponse(STATIC / name, media_type="text/javascript")


def icon(request: Request) -> Response:
    """The bell that a browser puts beside the title."""
    return FileResponse(STATIC / "icon.svg", media_type="image/svg+xml")


def fault(request: Request, error: Exception) -> Response:
    """What went wrong, in words, with what it means as a status."""
    if isinstance(error, HTTPException):
        status, says, headers = error.status_code, error.detail, error.headers
    else:
        status, says, headers = status_of(error), str(error), None
    answer = page(request, "fault.html", status, says=says, called=HTTPStatus(status).phrase)
    answer.headers.update(headers or {})
    return answer


def unforeseen(request: Request, error: Exception) -> Response:
    """A fault of the program: the page says no more; the server writes it out to standard error."""
    says = "The program failed in a way that nobody foresaw. Where `fightnotes serve` runs, it is written out."
    return page(request, "fault.html", 500, says=says, called=HTTPStatus.INTERNAL_SERVER_ERROR.phrase)


def status_of(error: Exception) -> int:
    """UnreadableFile: what stands in the files is not what the request was about, such as a note that was changed;
    ExportError: nor what can be exported."""
    kinds = (
        (UsageError, 400), (UnreadableFile, 409), (ExportError, 409), (StoreError, 503), (FightnotesError, 500),
    )  # fmt: skip
    return next((status for kind, status in kinds if isinstance(error, kind)), 500)
