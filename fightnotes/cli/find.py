"""`fightnotes find`."""

from __future__ import annotations

from collections.abc import Sequence
from enum import StrEnum
from typing import TYPE_CHECKING, Annotated

import typer

from fightnotes.cli.filter_options import takes_filters
from fightnotes.cli.options import LibraryOption, QueryArgument, SpreadOption, opened
from fightnotes.cli.output import print_result, print_table, say, say_notices

if TYPE_CHECKING:
    from fightnotes.search.filters import Filters
    from fightnotes.search.find import Found
    from fightnotes.search.hit import Hit

HELP = "Find moments by meaning and words, across all bouts."


class FindFormat(StrEnum):
    TABLE = "table"
    JSON = "json"
    CSV = "csv"
    TIMESTAMPS = "timestamps"


@takes_filters
def run(
    filters: Filters,
    query: QueryArgument = "",
    library: LibraryOption = None,
    limit: Annotated[int, typer.Option(min=1, help="The most moments to print.")] = 20,
    spread: SpreadOption = False,
    format: Annotated[FindFormat, typer.Option(help="How to print the result.")] = FindFormat.TABLE,
) -> None:
    library_opened = opened(library)
    found = library_opened.find(query, filters, limit=limit, spread=spread)
    _print(found, format)
    for notice in found.notices:
        say(notice)
    say_notices(library_opened)


def _print(found: Found, format: FindFormat) -> None:
    from fightnotes import MOMENT_COLUMNS, timestamp_lists

    hits = found.hits
    if format is FindFormat.TIMESTAMPS:
        for line in timestamp_lists(hits):
            print(line)
        return
    plain = [hit.as_json() for hit in hits]
    print_result(
        format,
        document={"query": found.query.text, "hits": plain, "notices": found.notices},
        columns=(*MOMENT_COLUMNS, "score", "why"),
        rows=(row | {"why": str(hit.why)} for row, hit in zip(plain, hits, strict=True)),
        table=lambda: _print_table(hits),
    )


def _print_table(hits: Sequence[Hit]) -> None:
    if hits:
        rows = [(str(number), "\n".join(hit.where), _note(hit)) for number, hit in enumerate(hits, start=1)]
        print_table(("", "moment", "note"), rows, wide=2)


def _note(hit: Hit) -> str:
    places = ", ".join((hit.place, *(twin.place for twin in hit.same_moment)))
    why = str(hit.why)
    return "\n".join(filter(None, (hit.text, hit.marks, places, why and f"why: {why}")))
