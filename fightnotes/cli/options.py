"""Options that every command takes, and how they are read."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Literal

import typer

from fightnotes.cli.output import say

if TYPE_CHECKING:
    from fightnotes.library import Library
    from fightnotes.tally.bout_timeline import BoutTimeline
    from fightnotes.tally.chains import Sequences
    from fightnotes.tally.pictures import Shown
    from fightnotes.tally.tally import Tally

LibraryOption = Annotated[
    Path | None,
    typer.Option(
        "--library",
        metavar="DIR",
        help="The library's folder; else the current folder or the nearest above it with a library.yaml.",
        show_default=False,
    ),
]
StoreOption = Annotated[
    str | None,
    typer.Option(
        "--store",
        metavar="URL",
        envvar="FIGHTNOTES_STORE",
        help="The store that a team shares, as postgresql://USER@HOST/DATABASE.",
        show_default=False,
    ),
]

QueryArgument = Annotated[
    list[str] | None,
    typer.Argument(
        metavar="QUERY", help='What happened, in your words. "Quoted words" must be there.', show_default=False
    ),
]
"""Words that the shell has parted; `" ".join` makes the query of them."""
LikeOption = Annotated[
    list[str] | None, typer.Option(metavar="FILE:LINE", help="More like the note at this place; may be repeated.")
]
UnlikeOption = Annotated[
    list[str] | None, typer.Option(metavar="FILE:LINE", help="Less like the note at this place; may be repeated.")
]
SpreadOption = Annotated[bool, typer.Option("--spread", help="Prefer many bouts to many moments of one.")]
InferredOption = Annotated[
    bool, typer.Option("--inferred", help="Count by fields inferred from the words, too, where none is written.")
]


def _drawable(path: Path | None) -> Path | None:
    if path is not None and path.suffix.lower() not in (".svg", ".png"):
        raise typer.BadParameter("a picture is named .svg or .png")
    return path


PictureOption = Annotated[
    Path | None,
    typer.Option(
        "--picture",
        metavar="FILE",
        callback=_drawable,
        help="Draw it, too: as SVG or PNG, as the name ends.",
        show_default=False,
    ),
]


Format = Literal["table", "json", "csv"]
FormatOption = Annotated[Format, typer.Option("--format", help="How to print the result.")]


def opened(given: Path | None, store: str | None = None) -> Library:
    """The library that is meant, to be read from the shared store where one is named; says what became of a change
    that was cut off. Raises LibraryNotFound."""
    from fightnotes.library import library_to_read, nearest_library, open_library

    if given is not None:
        library = open_library(given, store)
    else:
        library = library_to_read(Path.cwd(), store) if store else nearest_library(Path.cwd())
    say_cut_off(library)
    return library


def say_cut_off(library: Library) -> None:
    """What became of a change that was cut off."""
    for notice in library.take_notices():
        say(notice)


def draw(library: Library, drawn: Tally | Sequences | BoutTimeline, path: Path | None, show: Shown = "acts") -> None:
    """The picture that is asked for, if one is; it is said where it lies."""
    if path is not None:
        library.draw(drawn, path, show)
        say(f"wrote {path}")
