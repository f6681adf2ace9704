"""`fightnotes find`."""

from __future__ import annotations

from itertools import count
from typing import TYPE_CHECKING, Annotated, Literal

import typer

from fightnotes.cli.filter_options import takes_filters
from fightnotes.cli.options import LibraryOption, QueryArgument, SpreadOption, opened
from fightnotes.cli.output import print_result, print_table, say, say_changed

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
    library: LibraryOption = None,
    limit: Annotated[int, typer.Option(min=1, help="The most moments to print.")] = 20,
    spread: SpreadOption = False,
    format: Annotated[FindFormat, typer.Option(help="How to print the result.")] = "table",
) -> None:
    library_opened = opened(library)
    found = library_opened.find(query, filters, limit=limit, spread=spread)
    changed = library_opened.store.changed_files()
    _print(found, format)
    for notice in found.notices:
        say(notice)
    say_changed(changed)


def _print(found: Found, format: FindFormat) -> None:
    from fightnotes import MOMENT_COLUMNS, timestamp_lists

    hits = found.hits
    if format == "timestamps":
        for line in timestamp_lists(hits):
            print(line)
        return
    plain = [hit.as_json() for hit in hits]
    print_result(
        format,
        document={"query": found.query.text, "hits": plain, "notices": found.notices},
        columns=(*MOMENT_COLUMNS, "score", "why"),
        rows=(row | {"why": str(hit.why)} for row, hit in zip(plain, hits, strict=True)),
        table=lambda: print_table(("", "moment", "note"), map(_row, count(1), hits), wide=2) if hits else None,
    )


def _row(number: int, hit: Hit) -> tuple[str, str, str]:
    places = ", ".join((hit.place, *(twin.place for twin in hit.same_moment)))
    why = str(hit.why)
    note = filter(None, (hit.text, hit.marks, places, why and f"why: {why}"))
    return str(number), "\n".join(hit.where), "\n".join(note)
