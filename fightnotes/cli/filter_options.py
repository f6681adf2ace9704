"""The options that say what a moment must be: declared here once, for every command that takes them."""

from __future__ import annotations

import datetime
import inspect
import sys
from collections.abc import Callable
from functools import wraps
from types import SimpleNamespace
from typing import TYPE_CHECKING, Annotated, Any, Literal, get_type_hints

import typer

if TYPE_CHECKING:
    from fightnotes.search.filters import Filters


Many = list[str] | None


def _day(help: str) -> Any:
    return typer.Option(formats=["%Y-%m-%d"], metavar="YYYY-MM-DD", help=help)


def takes_filters(command: Callable[..., None]) -> Callable[..., None]:
    """The command with these options in the place of its parameter `filters`, which it gets as `Filters`; without
    those that it has itself by the same name."""
    own = _parameters(command)
    options = {name: option for name, option in _parameters(_filter_options).items() if name not in own}
    parameters = [
        option
        for name, parameter in own.items()
        for option in (options.values() if name == "filters" else (parameter,))
    ]

    @wraps(command)
    def run(**given: Any) -> None:
        filters = _filters(**{name: given.pop(name) for name in options})
        command(filters=filters, **given)

    run.__signature__ = inspect.Signature(parameters)  # type: ignore[attr-defined]
    run.__annotations__ = {parameter.name: parameter.annotation for parameter in parameters}
    return run


def _parameters(command: Callable[..., Any]) -> dict[str, inspect.Parameter]:
    """By name, for calls by keyword; all but `filters`, whose type is not loaded yet, with their annotations."""
    asked = {name: kind for name, kind in command.__annotations__.items() if name not in ("filters", "return")}
    hints = get_type_hints(
        SimpleNamespace(__annotations__=asked), globalns=vars(sys.modules[command.__module__]), include_extras=True
    )
    return {
        name: parameter.replace(kind=inspect.Parameter.KEYWORD_ONLY, annotation=hints.get(name))
        for name, parameter in inspect.signature(command).parameters.items()
    }


def _filter_options(
    by: Annotated[Many, typer.Option(metavar="NAME", help="The fighter who acts, by any form of the name.")] = None,
    on: Annotated[Many, typer.Option(metavar="NAME", help="The fighter who is acted on.")] = None,
    fighter: Annotated[Many, typer.Option(metavar="NAME", help="The fighter who does either.")] = None,
    corner: Annotated[Literal["red", "blue"] | None, typer.Option(help="The corner of the fighter who acts.")] = None,
    pairing: Annotated[
        Literal["open", "closed", "unknown"] | None, typer.Option(help="The pairing of the stances.")
    ] = None,
    tags: Annotated[
        Many, typer.Option("--tag", metavar="TAG", help="A concept or one of its labels, with its narrower ones.")
    ] = None,
    alone: Annotated[bool, typer.Option("--alone", help="Take --tag without narrower concepts.")] = False,
    outcome: Annotated[Many, typer.Option(metavar="WORD", help="landed, blocked, missed, ignored, ...")] = None,
    target: Annotated[Many, typer.Option(metavar="WORD", help="head, body, arms or legs.")] = None,
    rounds: Annotated[
        str, typer.Option("--round", metavar="N", help="A round, such as 3, or several, such as 1-4.")
    ] = "",
    bout: Annotated[Many, typer.Option(metavar="ID", help="The bout's id.")] = None,
    analyst: Annotated[Many, typer.Option(metavar="NAME", help="Who noted it.")] = None,
    since: Annotated[datetime.datetime | None, _day("First day.")] = None,
    until: Annotated[datetime.datetime | None, _day("Last day.")] = None,
    kind: Annotated[
        Literal["notes", "transcripts"] | None, typer.Option("--in", help="Look in notes or in transcripts only.")
    ] = None,
    written: Annotated[
        bool, typer.Option("--written", help="Go by written fields alone, not by those inferred from the words.")
    ] = False,
) -> None:
    """Each is named as the field of `Filters` that it fills."""


def _filters(rounds: str, kind: str | None, **given: Any) -> Filters:
    """What the options say. Raises typer.BadParameter."""
    from fightnotes import Filters

    read = {"rounds": _rounds(rounds), "kind": kind and kind.removesuffix("s")}
    return Filters(**{name: value for name, value in (given | read).items() if value is not None})


def _rounds(text: str) -> tuple[int, int] | None:
    """Raises typer.BadParameter."""
    if not text:
        return None
    from fightnotes import rounds_of

    try:
        return rounds_of(text)
    except ValueError as error:
        raise typer.BadParameter("a round, such as 3, or several, such as 1-4", param_hint="--round") from error
