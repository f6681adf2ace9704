"""Suggested marks and misheard forms, decided one after another."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Sequence
from typing import Any, get_args

from starlette.datastructures import FormData
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from fightnotes import Proposal
from fightnotes.errors import FightnotesError, UnreadableFile, UsageError
from fightnotes.library import Library
from fightnotes.library.decisions import Decision, Decisions
from fightnotes.library.undecided import Sort, Undecided, key_of, narrowed, number_from, place_of, sureness
from fightnotes.model import Record
from fightnotes.model.moment import time_fragment
from fightnotes.web.asked import Parameters, link_to, one_in, texts_in
from fightnotes.web.forms import choice_in
from fightnotes.web.guarding import reads, writes
from fightnotes.web.media import media_address
from fightnotes.web.showing import kept_of, page, status_of

_USUAL = 0.5
"""The least probability where the link does not say."""
PATIENCE = 1.0
"""Seconds that the page waits for the first list, before it says that it is being worked out."""
_SORTS: tuple[Sort, ...] = get_args(Sort)


class Going(Record):
    """What is gone through, and where one stands: all that a link to the page says."""

    bout: str | None = None
    only: Sort | None = None
    above: float = _USUAL
    keys: bool = True
    """Whether single keys act."""
    key: str = ""
    at: str = ""
    """What is decided next, and its place, from which it goes on where it waits no longer."""

    @property
    def link(self) -> str:
        return link_to("/decide", self.parameters)

    @property
    def parameters(self) -> list[tuple[str, str]]:
        said = {
            "bout": self.bout,
            "only": self.only,
            "above": f"{self.above:g}" if self.above != _USUAL else None,
            "keys": None if self.keys else "off",
            "of": self.key,
            "at": self.at,
        }
        return [(name, value) for name, value in said.items() if value]

    def to(self, each: Undecided) -> Going:
        file, line = place_of(each)
        return self.model_copy(update={"key": key_of(each), "at": f"{file}:{line}"})

    def after(self, number: int, waiting: Sequence[Undecided]) -> Going:
        """To the next one; behind the last, to where nothing waits."""
        if number + 1 < len(waiting):
            return self.to(waiting[number + 1])
        file, line = place_of(waiting[number])
        return self.model_copy(update={"key": "", "at": f"{file}:{line + 1}"})

    @property
    def from_the_first(self) -> Going:
        return self.model_copy(update={"key": "", "at": ""})

    def with_keys(self, on: bool) -> Going:
        return self.model_copy(update={"keys": on})


def decide(request: Request) -> Response:
    """The next thing that waits, with its text around it and its reasons."""
    return _shown(request, _going(request.query_params))


def decided(request: Request, form: FormData) -> Response:
    """A decision, written; then the next thing. What cannot be written is said, and still waits."""
    going, decisions, library = _going(form), _decisions(request), kept_of(request).library
    written = str(form.get("other", "")).strip()
    with decisions.one_at_a_time:
        if going.key in decisions.keys:
            return _next(going)
        waiting, _ = _waiting(request, going)
        number = next((number for number, each in enumerate(waiting) if key_of(each) == going.key), None)
        if number is None:
            return _shown(request, going, 409, "not written: it is suggested no more, as the index was made anew")
        try:
            _take(str(form.get("do", "")), decisions, library, waiting[number], written)
        except FightnotesError as error:
            return _shown(request, going, status_of(error), f"not written: {error}", written)
    return _next(going.after(number, waiting))


def undone(request: Request, form: FormData) -> Response:
    """The last decision taken back; then what it was about. One that was sent twice is taken back once."""
    going, decisions = _going(form), _decisions(request)
    with decisions.one_at_a_time:
        last = decisions.last
        if last is None or key_of(last.of) != form.get("last"):
            return _next(going)
        try:
            decisions.take_back(kept_of(request).library)
        except FightnotesError as error:
            return _shown(request, going, status_of(error), f"not taken back: {error}")
    return _next(going.to(last.of))


def _take(do: str, decisions: Decisions, library: Library, each: Undecided, written: str) -> Decision:
    if do == "accept":
        return decisions.accept(library, each)
    if do == "reject":
        return decisions.reject(library, each)
    if do == "other" and written:
        return decisions.change(library, each, written)
    raise UsageError(f"no {each.asked_for} was given" if do == "other" else f"'{do}' is no way to decide")


def _shown(request: Request, going: Going, status: int = 200, says: str = "", written: str = "") -> Response:
    library = kept_of(request).library
    if going.bout is not None and going.bout not in library.store.bouts:
        raise HTTPException(404, f"the library has no bout '{going.bout}'")
    if not kept_of(request).known_within(PATIENCE, *_to_decide(going)):
        return page(request, "decide_soon.html", going=going)
    waiting, fresh = _waiting(request, going)
    number = number_from(waiting, going.key, going.at)
    each = waiting[number] if number < len(waiting) else None
    last = _decisions(request).last
    return page(
        request,
        "decide.html",
        status,
        going=going.to(each) if each else going,
        waiting=len(waiting),
        number=number + 1,
        each=each,
        later=going.after(number, waiting) if each else None,
        fresh=fresh,
        last=last,
        last_key=key_of(last.of) if last else "",
        says=says,
        written=written,
        bouts=tuple(library.store.bouts.values()),
        **(_told(library, each) if each else {}),
    )


def _told(library: Library, each: Undecided) -> dict[str, Any]:
    """What is to be seen of a thing before it is decided; why a note cannot be, where it was changed."""
    told: dict[str, Any] = {"sure": sureness(each), "misheard": isinstance(each, Proposal), "note": None, "gone": ""}
    told["why"] = _in_pieces(str(each.why), () if isinstance(each, Proposal) else each.why.places)
    if not isinstance(each, Proposal):
        way = next((way for way in library.ways_to_play(each) if way.path is not None), None)
        told["clip"] = way and f"{media_address(each.bout.id, way.name)}#{time_fragment(way.start, way.end)}"
        try:
            told["note"] = library.note_now(each.segment)
        except UnreadableFile as error:
            told["gone"] = str(error)
    return told


def _in_pieces(why: str, places: tuple[str, ...]) -> list[tuple[str, bool]]:
    """Reasons as they are written, and whether each piece of them is a place."""
    if not places:
        return [(why, False)]
    any_place = "|".join(map(re.escape, places))
    return [(piece, piece in places) for piece in re.split(rf"((?:{any_place})(?!\d))", why)]


def _next(going: Going) -> Response:
    return RedirectResponse(going.link, 303)


def _decisions(request: Request) -> Decisions:
    decisions: Decisions = request.app.state.decisions
    return decisions


def _waiting(request: Request, going: Going) -> tuple[tuple[Undecided, ...], bool]:
    """What waits, and whether it was worked out of the index as it is."""
    found, fresh = kept_of(request).lately(*_to_decide(going))
    waiting = _decisions(request).waiting(found)
    return narrowed(waiting, bout=going.bout, only=going.only, above=going.above), fresh


def _to_decide(going: Going) -> tuple[str, Callable[[Library], tuple[Undecided, ...]]]:
    """The list that it is chosen from: its name, and what works it out."""
    least = min(_USUAL, math.floor(going.above * 10) / 10)
    return f"to decide from {least} on", lambda library: library.to_decide(least)


def _going(parameters: Parameters) -> Going:
    """Raises UsageError for what cannot be read."""
    above = one_in(parameters, "above", _share, "a share from 0 to 1")
    return Going(
        bout=_last(parameters, "bout"),
        only=choice_in(parameters, "only", _SORTS),
        above=_USUAL if above is None else above,
        keys=_last(parameters, "keys") != "off",
        key=_last(parameters, "of") or "",
        at=_last(parameters, "at") or "",
    )


def _last(parameters: Parameters, name: str) -> str | None:
    return (texts_in(parameters, name) or (None,))[-1]


def _share(text: str) -> float:
    share = float(text)
    if not 0 <= share <= 1:
        raise ValueError(text)
    return share


ROUTES = (reads("/decide", decide), writes("/decide", decided), writes("/decide/undo", undone))
