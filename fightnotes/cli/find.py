"""`fightnotes find`."""

from __future__ import annotations

from itertools import count
from typing import TYPE_CHECKING, Annotated, Literal

import typer

from fightnotes.cli.filter_options import takes_filters
from fightnotes.cli.layout import print_table, whole, with_whole
from fightnotes.cli.opening import open_note, play_recording
from fightnotes.cli.options import LibraryOption, LikeOption, QueryArgument, SpreadOption, UnlikeOption, opened
from fightnotes.cli.output import print_lines, print_result, say, say_notices
from fightnotes.errors import OpeningError
from fightnotes.visible import visible_line

if TYPE_CHECKING:
    from fightnotes.search.filters import Filters
    from fightnotes.search.find import Found
    from fightnotes.search.hit import Hit

HELP = "Find moments by meaning and words, across all bouts."


FindFormat = Literal["table", "json", "csv", "timestamps", "markdown"]


@takes_filters
def run(
    filters: Filters,
    query: QueryArgument = None,
    like: LikeOption = None,
    unlike: UnlikeOption = None,
    library: LibraryOption = None,
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
    library_opened = opened(library)
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
    from fightnotes import MOMENT_COLUMNS, markdown_answer, timestamp_lists

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
    print_result(
        format,
        document=document,
        columns=(*MOMENT_COLUMNS, "score", "why"),
        rows=(
            row | {"inferred": "; ".join(hit.inferred), "why": str(hit.why)}
            for row, hit in zip(document["hits"], hits, strict=True)
        ),
        table=lambda: print_table(("", "moment", "note"), map(_row, count(1), hits), wide=2) if hits else None,
    )


def _row(number: int, hit: Hit) -> tuple[str, str, str]:
    places = ", ".join(map(whole, (hit.place, *(twin.place for twin in hit.same_moment))))
    why = with_whole(str(hit.why), hit.why.like)
    inferred = f"inferred: {'; '.join(hit.inferred)}" if hit.inferred else ""
    repaired = f"repaired: {', '.join(hit.repaired)}" if hit.repaired else ""
    note = filter(None, (hit.shown, hit.marks, inferred, repaired, places, why and f"why: {why}"))
    return str(number), "\n".join(hit.where), "\n".join(note)
