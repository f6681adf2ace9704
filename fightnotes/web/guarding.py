"""What keeps other sites' pages out: by Host, Origin and a token; and what a browser may do with ours.

Every write is a `writes` route; a read changes nothing.
"""

from __future__ import annotations

import secrets
from collections.abc import Callable
from urllib.parse import urlsplit

from starlette.concurrency import run_in_threadpool
from starlette.datastructures import FormData, MutableHeaders
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import PlainTextResponse, Response
from starlette.routing import Route
from starlette.types import ASGIApp, Message, Receive, Scope, Send

OWN_NAMES = ("127.0.0.1", "localhost")
"""Names under which a browser on this machine reaches the page."""
_LONGEST_BODY = 2**20
"""Bytes."""
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
    """Stands before all routes."""

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
        answer: ASGIApp = self._app if fault is None else PlainTextResponse(f"{fault}\n", status_code=403)
        await answer(scope, receive, sent)


def _fault(request: Request) -> str | None:
    host = request.headers.get("host", "")
    if urlsplit(f"//{host}").hostname not in OWN_NAMES:
        return "this page is served to a browser on the same machine alone"
    origin = request.headers.get("origin")
    if origin is not None and origin != f"http://{host}":
        return "another site's page asked for this"
    return None


def reads(path: str, handler: Callable[[Request], Response]) -> Route:
    """A page, or a part of one; the handler runs on a thread of its own."""
    return Route(path, handler, methods=["GET", "HEAD"])


def writes(path: str, handler: Callable[[Request, FormData], Response]) -> Route:
    """A form that changes something; it is handled where the token comes with it, on a thread of its own."""

    async def guarded(request: Request) -> Response:
        length = request.headers.get("content-length", "")
        if not length.isdecimal() or int(length) > _LONGEST_BODY:
            raise HTTPException(413, "the form is too long")
        form = await request.form()
        if not secrets.compare_digest(str(form.get("token", "")).encode(), request.app.state.token.encode()):
            raise HTTPException(403, "the page is from an earlier start of the program: load it again")
        return await run_in_threadpool(handler, request, form)

    return Route(path, guarded, methods=["POST"])
