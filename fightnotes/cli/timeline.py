"""`fightnotes timeline`."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Annotated, Any

import typer

from fightnotes.cli.filter_options import takes_filters
from fightnotes.cli.layout import print_table, whole
from fightnotes.cli.options import FormatOption, InferredOption, LibraryOption, PictureOption, StoreOption, draw, opened
from fightnotes.cli.output import print_lines, print_result, say, say_notices

if TYPE_CHECKING:
    from fightnotes.search.filters import Filters
    from fightnotes.tally.bout_timeline import BoutTimeline

HELP = """A bout round by round, each act at its time; with --picture as a drawing.

Letters stand for its commonest concepts, eight at most, or for those chosen with --tag."""


@takes_filters
def run(
    bout: Annotated[str, typer.Argument(metavar="BOUT", help="The bout's id.", show_default=False)],
    filters: Filters,
    inferred: InferredOption = False,
    picture: PictureOption = None,
    library: LibraryOption = None,
    store: StoreOption = None,
    format: FormatOption = "table",
) -> None:
    library_opened = opened(library, store)
    told = library_opened.timeline(bout, filters, inferred=inferred)
    draw(library_opened, told, picture)
    document = told.as_json() if format != "table" else None
    print_result(
        format,
        document=document,
        columns=_COLUMNS,
        rows=_flat(document) if document else (),
        table=lambda: _print(told),
    )
    if format != "table":
        for line in told.notices:
            say(line)
    say_notices(library_opened)


_COLUMNS = (
    "round",
    "seconds_gone",
    "round_clock",
    "letter",
    "concept",
    "by",
    "on",
    "target",
    "outcome",
    "file",
    "line",
)


def _flat(document: dict[str, Any]) -> Iterator[dict[str, Any]]:
    return (act for one in document["rounds"] for act in one["acts"])


def _print(told: BoutTimeline) -> None:
    rows = [
        (whole(f"R{one.number} {told.clock(act)}"), act.letter, act.said, whole(act.act.segment.place))
        for one in told.rounds
        for act in one.acts
    ]
    if rows:
        print_table(("when", "", "what", "place"), rows, wide=2)
    else:
        print_lines(["nothing of it has a time in a round"])
    print_lines([*(f"{letter}: {concept}" for letter, concept in told.key), *told.notices])
