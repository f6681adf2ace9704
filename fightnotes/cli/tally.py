"""`fightnotes tally`."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Annotated, Any, Literal

import typer

from fightnotes.cli.estimates import NOTHING, estimate, flat_columns, flat_estimates, known, share
from fightnotes.cli.filter_options import takes_filters
from fightnotes.cli.hits import print_hits
from fightnotes.cli.layout import print_table, whole
from fightnotes.cli.options import (
    Format,
    FormatOption,
    InferredOption,
    LibraryOption,
    PictureOption,
    StoreOption,
    draw,
    opened,
)
from fightnotes.cli.output import print_lines, print_result, say, say_notices

if TYPE_CHECKING:
    from fightnotes.search.filters import Filters
    from fightnotes.search.hit import Hit
    from fightnotes.tally.figures import Figures
    from fightnotes.tally.tally import Tally
    from fightnotes.tally.value_trend import ValueTrend

HELP = """Count what was done by one dimension or two, with rates and success for what was noted.

Such as `fightnotes tally concept round --by corvale --trend`."""

By = Literal[
    "concept", "fighter", "opponent", "round", "outcome", "target", "bout", "stance", "pairing", "analyst",
    "day", "month", "year",
]  # fmt: skip
"""Those of `DIMENSIONS`, as loading `tally/` for `--help` would be slow."""
Show = Literal["acts", "per-round", "per-minute", "success"]


@takes_filters
def run(
    rows: Annotated[By, typer.Argument(metavar="ROWS", help="What the rows are.", show_default=False)],
    filters: Filters,
    columns: Annotated[By | None, typer.Argument(metavar="COLUMNS", help="What the columns are.")] = None,
    inferred: InferredOption = False,
    show: Annotated[
        Show, typer.Option(help="What the cells of rows and columns show, and what --trend is of.")
    ] = "acts",
    trend: Annotated[
        bool, typer.Option("--trend", help="Say how each value goes over rounds, days, months or years.")
    ] = False,
    row: Annotated[str | None, typer.Option(metavar="VALUE", help="List the moments of this row.")] = None,
    column: Annotated[
        str | None, typer.Option(metavar="VALUE", help="List the moments of this column; with --row of the cell.")
    ] = None,
    picture: PictureOption = None,
    library: LibraryOption = None,
    store: StoreOption = None,
    format: FormatOption = "table",
) -> None:
    opens = row is not None or column is not None
    if opens and trend:
        raise typer.BadParameter("goes with neither --row nor --column", param_hint="--trend")
    library_opened = opened(library, store)
    measure = None if not trend else "per-round" if show == "acts" else show
    counted = library_opened.tally(rows, columns, filters, inferred=inferred, trend=measure)
    draw(library_opened, counted, picture, show)
    if opens:
        hits = library_opened.counted_moments(counted, row, column)
        _print_opened(hits, format)
    elif trend:
        _print_trends(counted, format)
    else:
        _print(counted, show, format)
    if format != "table":
        for line in _below(counted):
            say(line)
    say_notices(library_opened)


def _print_opened(hits: tuple[Hit, ...], format: Format) -> None:
    found = [hit.as_json() for hit in hits]
    print_hits(format, hits, {"hits": found}, found)


_ESTIMATES = ("per_round", "per_minute", "success")
_COLUMNS = (
    "row", "column", "count", "in_noted_rounds", "noted_rounds", "noted_minutes", "per_round", "per_minute",
    "with_outcome", "succeeded", "partial", "success", "places",
)  # fmt: skip


def _print(counted: Tally, show: Show, format: Format) -> None:
    document = counted.as_json() if format != "table" else None
    print_result(
        format,
        document=document,
        columns=flat_columns(_COLUMNS, _ESTIMATES),
        rows=map(_flat, document["cells"] if document else ()),
        table=lambda: _print_table(counted, show),
    )


def _flat(cell: dict[str, Any]) -> dict[str, Any]:
    places = [f"{act['file']}:{act['line']}" for act in cell["acts"]]
    return flat_estimates({"column": None, **cell, "places": places}, _ESTIMATES)


def _print_table(counted: Tally, show: Show) -> None:
    if counted.acts():
        lines = ((whole(name), figures) for name, figures in counted.lines())
        if counted.columns is None:
            header: tuple[str, ...] = (counted.rows.name, "acts", "a round", "a minute", "success")
            table = ((name, *(told(figures[0]) for told in _SHOWN.values())) for name, figures in lines)
        else:
            header = (counted.rows.name, *map(whole, counted.column_names))
            table = ((name, *map(_SHOWN[show], figures)) for name, figures in lines)
        print_table(header, table, wide=0)
    print_lines(_below(counted))


def _acts(figures: Figures) -> str:
    return str(figures.count) if figures.count or figures.looked_for else NOTHING


_SHOWN: dict[Show, Callable[[Figures], str]] = {
    "acts": _acts,
    "per-round": lambda figures: estimate(figures.per_round),
    "per-minute": lambda figures: estimate(figures.per_minute),
    "success": share,
}


def _below(counted: Tally) -> tuple[str, ...]:
    """What stands below the table: how much was looked at, and what a reader of the numbers has to know."""
    return str(counted.basis.coverage), *counted.notices


_TREND_ESTIMATES = ("first", "last", "effect")
_TREND_COLUMNS = ("value", "count", "says", "of", "first", "last", "effect", "p", "p_adjusted", "too_few")


def _print_trends(counted: Tally, format: Format) -> None:
    document = counted.as_json() if format != "table" else None
    print_result(
        format,
        document=document,
        columns=flat_columns(_TREND_COLUMNS, _TREND_ESTIMATES),
        rows=(flat_estimates(trend, _TREND_ESTIMATES) for trend in (document["trends"] if document else ())),
        table=lambda: _print_trend_table(counted),
    )


def _print_trend_table(counted: Tally) -> None:
    told = [trend for trend in counted.trends if trend.trend.too_few is None]
    if told:
        over, across = counted.over, counted.across
        header = (across.name if across else "", "acts", f"over {over.name}s", "first", "last", "change", "adjusted")
        print_table(header, (_trend_row(counted, trend) for trend in told), wide=2)
    few = [trend for trend in counted.trends if trend.trend.too_few is not None]
    for reason in dict.fromkeys(trend.trend.too_few for trend in few if len(counted.trends) == 1):
        print_lines([f"too few to say: {reason}"])
    if few and len(counted.trends) > 1:
        print_lines([f"too few to say: {', '.join(f'{_called(counted, trend)} ({trend.count})' for trend in few)}"])
    print_lines(_below(counted))


def _trend_row(counted: Tally, told: ValueTrend) -> tuple[str, ...]:
    ends = map(known, (*told.ends, told.change, told.p_said))
    return whole(_called(counted, told)), str(told.count), told.words, *ends


def _called(counted: Tally, told: ValueTrend) -> str:
    across = counted.across
    return across.shown(told.value) if across else "all"
