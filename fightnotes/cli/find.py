"""`fightnotes find`."""

from __future__ import annotations

from enum import StrEnum
from typing import TYPE_CHECKING, Annotated

import typer

from fightnotes.cli.filter_options import takes_filters
from fightnotes.cli.options import LibraryOption, QueryArgument, SpreadOption, library_root
from fightnotes.cli.output import print_csv, print_json, print_table, say, say_changed

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
    from fightnotes.library import open_library

    opened = open_library(library_root(library))
    found = opened.find(query, filters, limit=limit, spread=spread)
    changed = opened.store.changed_files()
    _print(found, format)
    for notice in found.notices:
        say(notice)
    say_changed(changed)


_COLUMNS = (
    "bout", "file", "line", "start", "end", "timed_on", "round", "round_clock", "text", "tags", "by", "on",
    "outcome", "target", "analyst", "score", "link",
)  # fmt: skip


def _print(found: Found, format: FindFormat) -> None:
    hits = found.hits
    if format is FindFormat.JSON:
        print_json({"query": found.query.text, "hits": [hit.as_json() for hit in hits], "notices": found.notices})
    elif format is FindFormat.CSV:
        rows = [[hit.as_json()[column] for column in _COLUMNS] + [str(hit.why)] for hit in hits]
        print_csv((*_COLUMNS, "why"), rows)
    elif format is FindFormat.TIMESTAMPS:
        _print_timestamps(hits)
    elif hits:
        lines = [(str(number), _moment(hit), _note(hit)) for number, hit in enumerate(hits, start=1)]
        print_table(("", "moment", "note"), lines, wide=2)


def _moment(hit: Hit) -> str:
    recording = f" of {hit.recording}" if hit.recording else ""
    times = [hit.where_in_bout, f"{hit.media_time}{recording}" if hit.media_time else ""]
    return "\n".join((hit.bout, *(filter(None, times) if any(times) else ("untimed",))))


def _note(hit: Hit) -> str:
    fields = (("by", hit.by), ("on", hit.on), ("target", hit.target), ("outcome", hit.outcome))
    marks = [*(f"#{tag}" for tag in hit.tags), *(f"{key}:{value}" for key, values in fields for value in values)]
    others = (f"{place.file}:{place.line}" for place in hit.same_moment)
    places = ", ".join((f"{hit.file}:{hit.line}", *others))
    why = str(hit.why)
    return "\n".join(filter(None, (" ".join(hit.text.split()), " ".join(marks), places, why and f"why: {why}")))


def _print_timestamps(hits: tuple[Hit, ...]) -> None:
    """A list for each recording, in its order of time."""
    from fightnotes.search.hit import timestamp_line

    for bout, recording in dict.fromkeys((hit.bout, hit.recording) for hit in hits):
        mine = [hit for hit in hits if (hit.bout, hit.recording) == (bout, recording)]
        print(f"{mine[0].title}, {recording}" if recording else mine[0].title)
        for hit in sorted(mine, key=lambda hit: (hit.start is None, hit.start or 0)):
            print(timestamp_line(hit))
        print()
