"""What keeps other sites' pages out: by Host, Origin, Sec-Fetch-Site and a token; and what a browser may do with ours.

Every write is a `writes` route; a read changes nothing.
"""

from __future__ import annotations

import re
import secrets
from collections.abc import Callable

from starlette.concurrency import run_in_threadpool
from starlette.datastructures import FormData, MutableHeaders
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import PlainTextResponse, Response
from starlette.routing import Route
from starlette.types import ASGIApp, Message, Receive, Scope, Send

_OWN_HOST = re.compile(r"(127\.0\.0\.1|localhost)(:\d{1,5})?", re.IGNORECASE | re.ASCII)
"""Names under which a browser on this machine reaches the page; the port may be that of a tunnel."""
_LONGEST_ADDRESS, _LONGEST_BODY = 2**14, 2**20
"""Bytes. RFC 9110, 4.1, asks for 8,000 of an address at least."""
HEADERS = {
    "content-security-policy": (
        "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; media-src 'self'; "
        "connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
    ),
    "x-content-type-options": "nosniff",
    "x-frame-options": "DENY",
    "referrer-policy": "same-origin",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
}
"""Content Security Policy Level 3 and Fetch (W3C, WHATWG). The referrer stays within the site, as a browser would else
send a form with the Origin `null`."""


class Guard:
    """Stands before all else of the page, so that no answer goes out without the headers."""

    def __init__(self, app: ASGIApp) -> None:
        self._app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return

        async def sent(message: Message) -> None:
            if message["type"] == "http.response.start":
                headers = MutableHeaders(scope=message)
                headers.update(HEADERS)
                headers.setdefault("cache-control", "no-store")
            await send(message)

        fault = _fault(Request(scope))
        answer = self._app if fault is None else PlainTextResponse(f"{fault[1]}\n", status_code=fault[0])
        await answer(scope, receive, sent)


def _fault(request: Request) -> tuple[int, str] | None:
    """Status and words for a request that goes no further."""
    hosts, origins = request.headers.getlist("host"), request.headers.getlist("origin")
    if len(hosts) != 1 or not _OWN_HOST.fullmatch(hosts[0]):
        return 403, "this page is served to a browser on the same machine alone"
    if any(origin != f"http://{hosts[0].lower()}" for origin in origins) or _comes_from_elsewhere(request):
        return 403, "another site's page asked for this"
    if len(request.scope.get("raw_path") or b"") + len(request.scope["query_string"]) > _LONGEST_ADDRESS:
        return 414, "the address is too long"
    if "\0" in request.scope["path"] or b"%00" in request.scope["query_string"]:
        return 400, "the address holds a character that no text has"
    return None


def _comes_from_elsewhere(request: Request) -> bool:
    """By Fetch Metadata (W3C), which browsers send to this machine. Another port of it is the same site, and elsewhere.

    A link that somebody follows here may stand anywhere: it shows a page to that person and tells nobody.
    """
    site, mode, what = (request.headers.get(f"sec-fetch-{name}") for name in ("site", "mode", "dest"))
    followed = request.method in ("GET", "HEAD") and (mode, what) == ("navigate", "document")
    return site not in (None, "same-origin", "none") and not followed


def reads(path: str, handler: Callable[[Request], Response]) -> Route:
    """A page, or a part of one; the handler runs on a thread of its own."""
    return Route(path, handler, methods=["GET", "HEAD"])


def writes(path: str, handler: Callable[[Request, FormData], Response]) -> Route:
    """A form that changes something; it is handled where the token comes with it, on a thread of its own."""

    async def guarded(request: Request) -> Response:
        length = request.headers.get("content-length")
        if length is None:
            raise HTTPException(411, "the form does not say how long it is")
        if not length.isdecimal() or int(length) > _LONGEST_BODY:
            raise HTTPException(413, "the form is too long")
        form = await request.form()
        token = str(form.get("token", "")).encode("utf-8", "replace")
        if not secrets.compare_digest(token, request.app.state.token.encode()):
            raise HTTPException(403, "the page is from an earlier start of the program: load it again")
        if any("\0" in part for item in form.multi_items() for part in map(str, item)):
            raise HTTPException(400, "the form holds a character that no text has")
        return await run_in_threadpool(handler, request, form)

    return Route(path, guarded, methods=["POST"])
