"""`fightnotes find`."""

from __future__ import annotations

from itertools import count
from typing import TYPE_CHECKING, Annotated, Literal

import typer

from fightnotes.cli.filter_options import takes_filters
from fightnotes.cli.layout import print_table, whole, with_whole
from fightnotes.cli.options import LibraryOption, LikeOption, QueryArgument, SpreadOption, UnlikeOption, opened
from fightnotes.cli.output import print_lines, print_result, say, say_notices
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
    format: Annotated[FindFormat, typer.Option(help="How to print the result.")] = "table",
) -> None:
    library_opened = opened(library)
    found = library_opened.find(
        " ".join(query or ()), filters, like=like or (), unlike=unlike or (), limit=limit, spread=spread
    )
    for notice in found.notices:
        say(notice)
    _print(found, format)
    say_notices(library_opened)


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
        rows=(row | {"why": str(hit.why)} for row, hit in zip(document["hits"], hits, strict=True)),
        table=lambda: print_table(("", "moment", "note"), map(_row, count(1), hits), wide=2) if hits else None,
    )


def _row(number: int, hit: Hit) -> tuple[str, str, str]:
    places = ", ".join(map(whole, (hit.place, *(twin.place for twin in hit.same_moment))))
    why = with_whole(str(hit.why), hit.why.like)
    note = filter(None, (hit.shown, hit.marks, places, why and f"why: {why}"))
    return str(number), "\n".join(hit.where), "\n".join(note)
