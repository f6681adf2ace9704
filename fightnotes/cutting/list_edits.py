"""A saved cut list arranged: each function gives the list as it is then.

Places count from 1, as a person is shown them. Raises UsageError where there is no moment at a place.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from fightnotes.cutting.cuts import one_line
from fightnotes.cutting.saved import SavedList, SavedMoment
from fightnotes.errors import UsageError
from fightnotes.model import Handles


def with_moments(saved: SavedList, moments: Iterable[SavedMoment]) -> SavedList:
    """Those that are not in it yet go to its end."""
    there = {_identity(one): None for one in saved.moments}
    new = {_identity(one): one for one in moments if _identity(one) not in there}
    return _with(saved, (*saved.moments, *new.values()))


def without(saved: SavedList, place: int) -> SavedList:
    moment_at(saved, place)
    return _with(saved, (*saved.moments[: place - 1], *saved.moments[place:]))


def moved(saved: SavedList, place: int, to: int) -> SavedList:
    """The moment at `place` stands at `to` then."""
    moment = moment_at(saved, place)
    moment_at(saved, to)
    rest = without(saved, place).moments
    return _with(saved, (*rest[: to - 1], moment, *rest[to - 1 :]))


def in_order(saved: SavedList, places: Sequence[int]) -> SavedList:
    """Its moments in the order of `places`, which names each once. Raises UsageError."""
    if sorted(places) != list(range(1, len(saved.moments) + 1)):
        raise UsageError("an order names each moment of the list once")
    return _with(saved, tuple(saved.moments[place - 1] for place in places))


def with_settings(saved: SavedList, title: str, handles: Handles, inside_round: bool) -> SavedList:
    """Of the whole list. A title without words leaves the one it has."""
    given = {"title": one_line(title) or saved.title, "handles": handles, "inside_round": inside_round}
    return saved.model_copy(update=given)


def with_card(saved: SavedList, place: int, title: str, handles: Handles | None) -> SavedList:
    """Title and handles of one moment; without words it is titled by what is done in it, None is the list's handles."""
    changed = moment_at(saved, place).model_copy(update={"title": one_line(title) or None, "handles": handles})
    return _replaced(saved, place, changed)


def with_other(saved: SavedList, place: int, other: SavedMoment) -> SavedList:
    """Another moment in the place of one that is lost, with the title and the handles given to that one."""
    lost = moment_at(saved, place)
    return _replaced(saved, place, other.model_copy(update={"title": lost.title, "handles": lost.handles}))


def moment_at(saved: SavedList, place: int) -> SavedMoment:
    if not 1 <= place <= len(saved.moments):
        raise UsageError(f"there is no moment {place}: the list has {len(saved.moments)}")
    return saved.moments[place - 1]


def _replaced(saved: SavedList, place: int, moment: SavedMoment) -> SavedList:
    return _with(saved, (*saved.moments[: place - 1], moment, *saved.moments[place:]))


def _with(saved: SavedList, moments: tuple[SavedMoment, ...]) -> SavedList:
    return saved.model_copy(update={"moments": moments})


def _identity(moment: SavedMoment) -> tuple[str, int, str | None, str]:
    return moment.file, moment.line, moment.time, moment.words
