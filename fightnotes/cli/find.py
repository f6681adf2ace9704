"""`fightnotes find`."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Literal

import typer

from fightnotes.cli.filter_options import takes_filters
from fightnotes.cli.hits import print_hits
from fightnotes.cli.opening import open_note, play_recording
from fightnotes.cli.options import (
    LibraryOption,
    LikeOption,
    QueryArgument,
    SpreadOption,
    StoreOption,
    UnlikeOption,
    opened,
)
from fightnotes.cli.output import print_lines, say, say_notices
from fightnotes.errors import OpeningError
from fightnotes.visible import visible_line

if TYPE_CHECKING:
    from fightnotes.search.filters import Filters
    from fightnotes.search.find import Found

HELP = "Find moments by meaning and words, across all bouts."


FindFormat = Literal["table", "json", "csv", "timestamps", "markdown"]


@takes_filters
def run(
    filters: Filters,
    query: QueryArgument = None,
    like: LikeOption = None,
    unlike: UnlikeOption = None,
    library: LibraryOption = None,
    store: StoreOption = None,
    limit: Annotated[int, typer.Option("--limit", "-n", min=1, help="The most moments to print.")] = 20,
    spread: SpreadOption = False,
    open_: Annotated[
        bool, typer.Option("--open", help="Open the note of the first hit in your editor, at its line.")
    ] = False,
    play: Annotated[
        bool, typer.Option("--play", help="Play the recording of the first hit, from where it begins.")
    ] = False,
    number: Annotated[
        int | None, typer.Option("--hit", min=1, metavar="N", help="Open or play this hit, as the table numbers it.")
    ] = None,
    format: Annotated[FindFormat, typer.Option(help="How to print the result.")] = "table",
) -> None:
    if number and not (open_ or play):
        raise typer.BadParameter("goes with --open or --play", param_hint="--hit")
    library_opened = opened(library, store)
    found = library_opened.find(
        " ".join(query or ()), filters, like=like or (), unlike=unlike or (), limit=limit, spread=spread
    )
    for notice in found.notices:
        say(notice)
    _print(found, format)
    say_notices(library_opened)
    if open_ or play:
        if len(found.hits) < (number or 1):
            raise OpeningError(f"there is no hit {number or 1} to open")
        hit = found.hits[(number or 1) - 1]
        if open_:
            open_note(library_opened, hit)
        if play:
            play_recording(library_opened, hit)


def _print(found: Found, format: FindFormat) -> None:
    from fightnotes import markdown_answer, timestamp_lists

    hits = found.hits
    if format == "markdown":
        print_lines(markdown_answer(hits))
        return
    if format == "timestamps":
        print_lines(timestamp_lists(hits))
        for hit in hits:
            if not hit.media_time:
                say(f"left out, without media time: {visible_line(hit.place)}")
        return
    document = found.as_json()
    print_hits(format, hits, document, document["hits"])
