"""`fightnotes find`."""

from __future__ import annotations

from itertools import count
from typing import TYPE_CHECKING, Annotated, Literal

import typer

from fightnotes.cli.filter_options import takes_filters
from fightnotes.cli.options import LibraryOption, LikeOption, QueryArgument, SpreadOption, UnlikeOption, opened
from fightnotes.cli.output import print_result, print_table, say, say_notices

if TYPE_CHECKING:
    from fightnotes.search.filters import Filters
    from fightnotes.search.find import Found
    from fightnotes.search.hit import Hit

HELP = "Find moments by meaning and words, across all bouts."


FindFormat = Literal["table", "json", "csv", "timestamps"]


@takes_filters
def run(
    filters: Filters,
    query: QueryArgument = "",
    like: LikeOption = None,
    unlike: UnlikeOption = None,
    library: LibraryOption = None,
    limit: Annotated[int, typer.Option(min=1, help="The most moments to print.")] = 20,
    spread: SpreadOption = False,
    format: Annotated[FindFormat, typer.Option(help="How to print the result.")] = "table",
) -> None:
    library_opened = opened(library)
    found = library_opened.find(query, filters, like=like or (), unlike=unlike or (), limit=limit, spread=spread)
    for notice in found.notices:
        say(notice)
    _print(found, format)
    say_notices(library_opened)


def _print(found: Found, format: FindFormat) -> None:
    from fightnotes import MOMENT_COLUMNS, timestamp_lists

    hits = found.hits
    if format == "timestamps":
        for line in timestamp_lists(hits):
            print(line)
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
    places = ", ".join((hit.place, *(twin.place for twin in hit.same_moment)))
    why = str(hit.why)
    note = filter(None, (hit.shown, hit.marks, places, why and f"why: {why}"))
    return str(number), "\n".join(hit.where), "\n".join(note)
