"""`fightnotes render`."""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path
from typing import Annotated, Literal

import typer

from fightnotes.cli.cut import tell
from fightnotes.cli.interrupts import interrupts
from fightnotes.cli.options import FormatOption, LibraryOption, StoreOption, opened
from fightnotes.cli.output import print_lines, print_result, say, say_notices
from fightnotes.cli.streams import INTERRUPTED

HELP = "Make the reel of a saved cut list, to the frame, from the footage at hand."


class TextChoice(StrEnum):
    TITLE = "title"
    CLOCK = "clock"


def run(
    saved: Annotated[Path, typer.Argument(metavar="LIST", help="A list saved by `fightnotes cut --save`.")],
    reel: Annotated[Path, typer.Argument(metavar="REEL", help="The file to make: .mp4, .mov or .mkv.")],
    burn: Annotated[
        list[TextChoice] | None, typer.Option(help="Draw each cut's title, or the round clock, on the picture.")
    ] = None,
    size: Annotated[
        str | None, typer.Option(metavar="WxH", help="Of the picture; else the one that fills most of the reel.")
    ] = None,
    rate: Annotated[
        str | None,
        typer.Option(metavar="FRAMES", help="Frames a second: 25 or 30000/1001; else that of most of the reel."),
    ] = None,
    quality: Annotated[
        Literal["draft", "standard", "high"], typer.Option(help="Of the picture: how large and how slow to make.")
    ] = "standard",
    copy: Annotated[
        bool, typer.Option("--copy", help="Copy streams as they are stored: fast, and not to the frame.")
    ] = False,
    library: LibraryOption = None,
    store: StoreOption = None,
    format: FormatOption = "table",
) -> None:
    from fightnotes import BurntIn, Selection, reel_form
    from fightnotes.cli.progress import TerminalProgress

    form = reel_form(size, rate, quality)
    library_opened = opened(library, store)
    assembly = library_opened.cut(Selection(saved=saved))
    tell(assembly)
    say_notices(library_opened)
    for caution in assembly.cautions:
        say(caution)
    text = BurntIn(title=TextChoice.TITLE in (burn or ()), round_clock=TextChoice.CLOCK in (burn or ()))
    try:
        with interrupts(), TerminalProgress() as progress:
            made = library_opened.render(assembly, reel, text, form=form, copy=copy, progress=progress)
    except KeyboardInterrupt:
        say(f"cancelled: {reel} was not made")
        raise typer.Exit(INTERRUPTED) from None
    for note in made.notes:
        say(note)
    row = made.as_json()
    print_result(format, document=row, columns=tuple(row), rows=(row,), table=lambda: print_lines([made.summary]))
    if made.missing or not assembly.complete:
        raise typer.Exit(1)
