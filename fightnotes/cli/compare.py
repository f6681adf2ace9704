"""`fightnotes compare`."""

from __future__ import annotations

import datetime
from typing import TYPE_CHECKING, Annotated, Any

import typer

from fightnotes.cli.estimates import estimate, flat_columns, flat_estimates, share
from fightnotes.cli.filter_options import takes_filters
from fightnotes.cli.layout import print_table, whole
from fightnotes.cli.options import Format, FormatOption, InferredOption, LibraryOption, StoreOption, opened
from fightnotes.cli.output import print_lines, print_result, say, say_notices

if TYPE_CHECKING:
    from fightnotes.search.filters import Filters
    from fightnotes.tally.compare import Compared, SideBySide
    from fightnotes.tally.figures import Figures

HELP = """Hold two fighters, two bouts, or before and after a day against each other, concept by concept."""


@takes_filters
def run(
    filters: Filters,
    sides: Annotated[
        list[str] | None,
        typer.Argument(metavar="A B", help="Two fighters or two bouts; with --before one fighter, or none."),
    ] = None,
    before: Annotated[
        datetime.datetime | None,
        typer.Option(
            formats=["%Y-%m-%d"], metavar="YYYY-MM-DD", help="Hold the days before this one against it and those after."
        ),
    ] = None,
    inferred: InferredOption = False,
    library: LibraryOption = None,
    store: StoreOption = None,
    format: FormatOption = "table",
) -> None:
    library_opened = opened(library, store)
    day = before.date() if before else None
    compared = library_opened.compare(*(sides or ()), filters=filters, before=day, inferred=inferred)
    _print(compared, format)
    if format != "table":
        for line in compared.below:
            say(line)
    say_notices(library_opened)


_FIGURES = ("count", "per_round", "per_minute", "with_outcome", "succeeded", "partial", "success")
_SIDES = ("first", "second")
_ESTIMATES = (
    *(f"{side}_{key}" for side in _SIDES for key in ("per_round", "per_minute", "success")), "ratio", "difference",
)  # fmt: skip
_COLUMNS = (
    "concept", *(f"{side}_{key}" for side in _SIDES for key in _FIGURES),
    "ratio", "ratio_p", "ratio_p_adjusted", "more_often",
    "difference", "difference_p", "difference_p_adjusted", "more_success",
)  # fmt: skip


def _print(compared: SideBySide, format: Format) -> None:
    document = compared.as_json() if format != "table" else None
    print_result(
        format,
        document=document,
        columns=flat_columns(_COLUMNS, _ESTIMATES),
        rows=map(_flat, document["concepts"] if document else ()),
        table=lambda: _print_table(compared),
    )


def _flat(concept: dict[str, Any]) -> dict[str, Any]:
    figures = {f"{side}_{key}": concept[side][key] for side in _SIDES for key in _FIGURES}
    rates, success = concept["rates"], concept["success"]
    row = {
        "concept": concept["concept"],
        **figures,
        "ratio": rates["effect"],
        "ratio_p": rates["p"],
        "ratio_p_adjusted": rates["p_adjusted"],
        "more_often": rates["more_often"],
        "difference": success["effect"],
        "difference_p": success["p"],
        "difference_p_adjusted": success["p_adjusted"],
        "more_success": success["more_success"],
    }
    return flat_estimates(row, _ESTIMATES)


def _print_table(compared: SideBySide) -> None:
    if compared.told:
        header = ("concept", whole(compared.first), whole(compared.second), "how often", "success")
        print_table(header, (_row(compared, each) for each in compared.told), wide=3)
    print_lines(compared.below)


def _row(compared: SideBySide, each: Compared) -> tuple[str, ...]:
    often = _sized(compared.often_said(each), each.rates_size)
    success = _sized(compared.success_said(each), each.shares_size)
    return whole(each.called), _side(compared, each.first), _side(compared, each.second), often, success


def _side(compared: SideBySide, figures: Figures) -> str:
    return f"{figures.count}: {estimate(compared.rate(figures))} a {compared.unit}\n{share(figures)}"


def _sized(said: str, size: tuple[str, str]) -> str:
    return "\n".join(filter(None, (said, ", ".join(map(whole, filter(None, size))))))
