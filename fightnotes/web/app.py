"""The routes of the page and what stands before them."""

from __future__ import annotations

import secrets

from starlette.applications import Starlette
from starlette.exceptions import HTTPException

from fightnotes.errors import FightnotesError
from fightnotes.library.decisions import Decisions
from fightnotes.web import auditing, bouts, briefings, cuts, decide, media, moment, search, tallies
from fightnotes.web.guarding import Guard, reads
from fightnotes.web.kept import KeptLibrary
from fightnotes.web.showing import fault, icon, script, style, unforeseen


def make_app(kept: KeptLibrary) -> Starlette:
    """The page of a library, for a server to run; its token for writes is new each time."""
    routes = [
        reads("/style.css", style),
        reads("/script/{name}", script),
        reads("/icon.svg", icon),
        *search.ROUTES,
        *bouts.ROUTES,
        *decide.ROUTES,
        *moment.ROUTES,
        *media.ROUTES,
        *cuts.ROUTES,
        *tallies.ROUTES,
        *briefings.ROUTES,
        *auditing.ROUTES,
    ]
    app = Starlette(
        routes=routes,
        exception_handlers={FightnotesError: fault, HTTPException: fault, Exception: unforeseen},
    )
    app.state.kept, app.state.token = kept, secrets.token_urlsafe()
    app.state.last_changes = {}
    app.state.decisions = Decisions()
    # Outside even of what answers for an unforeseen exception, which is no place for Starlette's own middleware.
    app.middleware_stack = Guard(app.build_middleware_stack())
    return app
