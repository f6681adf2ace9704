"""Options that every command takes, and how they are read."""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

LibraryOption = Annotated[
    Path | None,
    typer.Option(
        "--library",
        metavar="DIR",
        help="The library's folder; else the current folder or the nearest above it with a library.yaml.",
        show_default=False,
    ),
]

QueryArgument = Annotated[
    str, typer.Argument(help='What happened, in your words. "Quoted words" must be there.', show_default=False)
]
SpreadOption = Annotated[bool, typer.Option("--spread", help="Prefer many bouts to many moments of one.")]


class Format(StrEnum):
    TABLE = "table"
    JSON = "json"
    CSV = "csv"


FormatOption = Annotated[Format, typer.Option("--format", help="How to print the result.")]


def library_root(given: Path | None) -> Path:
    """The folder that is meant. Raises LibraryNotFound."""
    if given is not None:
        return given
    from fightnotes.reading.library import find_root

    return find_root(Path.cwd())
