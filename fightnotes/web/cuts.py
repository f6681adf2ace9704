"""Cut lists: all of them, one to arrange, and what an editor takes of it."""

from __future__ import annotations

import io
import shlex
import zipfile
from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from functools import wraps
from typing import TYPE_CHECKING

from starlette.datastructures import FormData
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from fightnotes import seconds_of, written_seconds
from fightnotes.errors import FightnotesError, UnknownName, UnreadableFile, UsageError
from fightnotes.library import export_formats
from fightnotes.library.cut_lists import LIST_ORDERS
from fightnotes.model import Handles
from fightnotes.web.guarding import reads, writes
from fightnotes.web.showing import kept_of, page

if TYPE_CHECKING:
    from fightnotes.cutting import ListChange

_EARLIEST = (1980, 1, 1, 0, 0, 0)
"""The first day that an archive can name, so that the same files make the same archive."""


@dataclass(frozen=True)
class LastChange:
    """The latest change of a list made on the page; it can be taken back as long as the file is what it left."""

    change: ListChange
    said: str
    undone: str
    """What is said when it is taken back."""
    place: int | None
    """Of the moment that it was about, as the list is then."""


Handler = Callable[[Request, FormData], Response]


def cuts(request: Request) -> Response:
    """All lists, and a form for a new one."""
    library = kept_of(request).library
    lists, unreadable = [], []
    for name in library.cut_list_names():
        try:
            lists.append(library.cut_list(name))
        except FightnotesError as error:
            unreadable.append((name, str(error)))
    last = _last_of(request, request.query_params.get("gone", ""), None)
    return page(request, "cuts.html", lists=lists, unreadable=unreadable, last=last)


def cut_list(request: Request) -> Response:
    """One list, to arrange."""
    try:
        return _list_page(request, request.query_params.get("name", ""))
    except UnknownName as error:
        raise HTTPException(404, str(error)) from error


def _list_page(request: Request, name: str, conflict: str = "", asked: str = "") -> Response:
    """`conflict` says why a change was not made, and `asked` what was typed for it."""
    library = kept_of(request).library
    held = library.cut_list(name)
    assembly = library.assemble_list(held.name)
    return page(
        request,
        "cut_list.html",
        409 if conflict else 200,
        held=held,
        assembly=assembly,
        rows=library.listed(assembly),
        last=_last_of(request, held.name, held.content),
        conflict=conflict,
        asked=asked,
        orders=LIST_ORDERS,
        formats=export_formats(),
        seconds=written_seconds,
        command=_render_command(request, held.name),
    )


def export(request: Request) -> Response:
    """A list in one of the formats, as a file to keep; several in an archive where one cannot hold it."""
    library, query = kept_of(request).library, request.query_params
    name, wanted = library.cut_list(query.get("name", "")).name, query.get("format", "")
    texts = library.export_texts(library.assemble_list(name), wanted, name)
    if len(texts) > 1:
        return _download(_archive(texts), f"{name}-{wanted}.zip", "application/zip")
    (file, text), *_ = texts.items()
    media_type = next(known.media_type for known in export_formats() if known.name == wanted)
    return _download(text.encode(), file, media_type)


def _archive(texts: dict[str, str]) -> bytes:
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as archive:
        for file, text in texts.items():
            archive.writestr(zipfile.ZipInfo(file, _EARLIEST), text.encode())
    return made.getvalue()


def _download(content: bytes, file: str, media_type: str) -> Response:
    """RFC 6266: a list's name, and so the file's, needs no escape."""
    return Response(content, media_type=media_type, headers={"content-disposition": f'attachment; filename="{file}"'})


def _or_as_it_is(handler: Handler) -> Handler:
    """Where the list is another by now, it is shown as it is, with what was asked for and was not done."""

    @wraps(handler)
    def answered(request: Request, form: FormData) -> Response:
        try:
            return handler(request, form)
        except UnreadableFile as error:
            return _list_page(request, _text(form, "name"), str(error), _text(form, "title"))

    return answered


def new(request: Request, form: FormData) -> Response:
    name, title = _text(form, "name"), _text(form, "title")
    return _done(request, kept_of(request).library.create_list(name, title=title), "The list is begun.")


def add(request: Request, form: FormData) -> Response:
    """Moments put into a list, or into a new one where the form names it."""
    library = kept_of(request).library
    places = [str(place) for place in form.getlist("at")]
    if not places:
        raise UsageError("no moment is ticked: tick those that the list is to have")
    name, begun = _text(form, "list"), _text(form, "new")
    if not (name or begun):
        raise UsageError("name the new list: letters from a to z, digits and hyphens, such as left-hooks")
    before = 0 if begun else len(library.cut_list(name).saved.moments)
    change = library.create_list(begun, places) if begun else library.add_to_list(name, places)
    count = len(library.cut_list(change.name).saved.moments)
    there = len(places) - (count - before)
    return _done(request, change, f"Added: {count - before}." + (f" In the list already: {there}." if there else ""))


@_or_as_it_is
def move(request: Request, form: FormData) -> Response:
    library, name = kept_of(request).library, _text(form, "name")
    to = _number(form, "to")
    change = library.move_in_list(name, _number(form, "place"), to, _text(form, "shown"))
    moments = library.cut_list(name).saved.moments
    return _done(request, change, f"“{moments[to - 1].called}” is at place {to} of {len(moments)}.", to)


@_or_as_it_is
def remove(request: Request, form: FormData) -> Response:
    library, name, place = kept_of(request).library, _text(form, "name"), _number(form, "place")
    before = library.cut_list(name).saved.moments
    change = library.remove_from_list(name, place, _text(form, "shown"))
    return _done(request, change, f"“{before[place - 1].called}” is removed.", min(place, len(before) - 1) or None)


@_or_as_it_is
def order(request: Request, form: FormData) -> Response:
    by = _text(form, "order")
    change = kept_of(request).library.order_list(_text(form, "name"), by, _text(form, "shown"))
    return _done(request, change, f"The moments are in order of {by}.")


@_or_as_it_is
def settings(request: Request, form: FormData) -> Response:
    library, name = kept_of(request).library, _text(form, "name")
    handles = _handles(form, library.cut_list(name).saved.handles)
    inside_round, shown = "inside_round" in form, _text(form, "shown")
    change = library.set_list(name, _text(form, "title"), handles, inside_round, shown)
    return _done(request, change, "Title and handles of the list are kept.")


@_or_as_it_is
def card(request: Request, form: FormData) -> Response:
    """Title and handles of one moment; handles left empty are the list's."""
    library, name, place = kept_of(request).library, _text(form, "name"), _number(form, "place")
    given = _text(form, "before") or _text(form, "after")
    handles = _handles(form, library.cut_list(name).saved.handles) if given else None
    change = library.set_card(name, place, _text(form, "title"), handles, _text(form, "shown"))
    return _done(request, change, f"Title and handles of moment {place} are kept.", place)


@_or_as_it_is
def take(request: Request, form: FormData) -> Response:
    name, place = _text(form, "name"), _number(form, "place")
    change = kept_of(request).library.take_offered(name, place, _text(form, "shown"))
    return _done(request, change, f"What was offered stands at place {place}.", place)


@_or_as_it_is
def delete(request: Request, form: FormData) -> Response:
    name = _text(form, "name")
    change = kept_of(request).library.remove_list(name, _text(form, "shown"))
    return _done(request, change, f"The list {name} is deleted.")


@_or_as_it_is
def undo(request: Request, form: FormData) -> Response:
    """Takes the last change of a list back, or, once it is taken back, makes it again."""
    library, name = kept_of(request).library, _text(form, "name")
    last: LastChange | None = request.app.state.last_changes.get(name)
    if last is None:
        raise UsageError("nothing was changed on this page since the program was started")
    change = library.take_back_list_change(last.change, _text(form, "shown"))
    return _done(request, change, last.undone, undone=last.said)


def _done(
    request: Request, change: ListChange, said: str, place: int | None = None, undone: str | None = None
) -> Response:
    last = LastChange(change, said, undone or f"Taken back: {said}", place)
    request.app.state.last_changes[change.name] = last
    if change.after is None:
        return RedirectResponse(f"/cuts?gone={change.name}", 303)
    return RedirectResponse(f"/cuts/list?name={change.name}" + (f"#place-{place}" if place else ""), 303)


def _last_of(request: Request, name: str, content: bytes | None) -> LastChange | None:
    last: LastChange | None = request.app.state.last_changes.get(name)
    return last if last and last.change.after == content else None


def _render_command(request: Request, name: str) -> str:
    """To be typed in a shell (POSIX)."""
    library = kept_of(request).library
    words = ["fightnotes", "render", "--library", str(library.root), str(library.cut_list_path(name)), f"{name}.mp4"]
    return shlex.join(words)


def _handles(form: FormData, others: Handles) -> Handles:
    """Those typed; of one that is left empty that of `others`."""
    before, after = _seconds(form, "before"), _seconds(form, "after")
    return Handles(
        before=others.before if before is None else before,
        after=others.after if after is None else after,
    )


def _seconds(form: FormData, key: str) -> Fraction | None:
    text = _text(form, key)
    try:
        return seconds_of(text) if text else None
    except ValueError as error:
        raise UsageError(f"found '{text}', expected seconds, such as 2, 1.5 or 0:02, at most 100 hours") from error


def _number(form: FormData, key: str) -> int:
    text = _text(form, key)
    if not (text.isascii() and text.isdecimal() and len(text) < 7):
        raise UsageError(f"found '{text}', expected the place of a moment, such as 3")
    return int(text)


def _text(form: FormData, key: str) -> str:
    return str(form.get(key, "")).strip()


ROUTES = (
    reads("/cuts", cuts),
    reads("/cuts/list", cut_list),
    reads("/cuts/export", export),
    writes("/cuts/new", new),
    writes("/cuts/add", add),
    writes("/cuts/move", move),
    writes("/cuts/remove", remove),
    writes("/cuts/order", order),
    writes("/cuts/settings", settings),
    writes("/cuts/card", card),
    writes("/cuts/take", take),
    writes("/cuts/delete", delete),
    writes("/cuts/undo", undo),
)
