"""`fightnotes follow`."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Annotated, Any

import typer

from fightnotes.cli.estimates import NOTHING, estimate, flat_columns, flat_estimates
from fightnotes.cli.filter_options import takes_filters
from fightnotes.cli.hits import print_moments
from fightnotes.cli.layout import print_table, whole
from fightnotes.cli.options import FormatOption, InferredOption, LibraryOption, PictureOption, StoreOption, draw, opened
from fightnotes.cli.output import print_lines, print_result, say, say_notices

if TYPE_CHECKING:
    from fightnotes.search.filters import Filters
    from fightnotes.search.hit import Hit
    from fightnotes.tally.chains import Chain, Sequences

HELP = """What tends to follow what: set-up to pay-off, against chance, each chain with its moments.

Such as `fightnotes follow level-change deep-step straight-right`; of one concept what follows it, of none all pairs.
What --by and other options ask of an act, they ask of the first."""


@takes_filters
def run(
    filters: Filters,
    concepts: Annotated[
        list[str] | None,
        typer.Argument(metavar="CONCEPT", help="The chain, in turn: concepts or labels.", show_default=False),
    ] = None,
    within: Annotated[
        float, typer.Option(metavar="SECONDS", help="The most from the start of one act to the start of the next.")
    ] = 10.0,
    same_fighter: Annotated[
        bool | None,
        typer.Option(
            "--same-fighter/--other-fighter",
            help="Each act is by the fighter of the one before, or by the other; else by whomever.",
            show_default=False,
        ),
    ] = None,
    to_outcome: Annotated[
        str | None, typer.Option(metavar="WORD", help="Chains whose last act comes out so, such as knockdown.")
    ] = None,
    steps: Annotated[
        int, typer.Option(min=2, max=4, metavar="N", help="How many acts the chains of --to-outcome have.")
    ] = 2,
    notes_apart: Annotated[
        bool, typer.Option("--notes-apart", help="Leave out what follows by the order of the tags of one time alone.")
    ] = False,
    inferred: InferredOption = False,
    moments: Annotated[
        bool, typer.Option("--moments", help="List the moments of all chains, as is done for a chain that is given.")
    ] = False,
    limit: Annotated[int, typer.Option("--limit", "-n", min=1, help="The most chains to print.")] = 20,
    picture: PictureOption = None,
    library: LibraryOption = None,
    store: StoreOption = None,
    format: FormatOption = "table",
) -> None:
    library_opened = opened(library, store)
    found = library_opened.follow(
        *(concepts or ()),
        filters=filters,
        within=within,
        who="either" if same_fighter is None else "same" if same_fighter else "other",
        to_outcome=to_outcome,
        steps=steps,
        notes_apart=notes_apart,
        inferred=inferred,
        limit=limit,
    )
    draw(library_opened, found, picture)
    document = found.as_json() if format != "table" else None
    rows = document["sequences"] if document else ()
    print_result(
        format,
        document=document,
        columns=flat_columns(_COLUMNS, _ESTIMATES),
        rows=map(_flat, rows),
        table=lambda: _print(found, moments=moments or len(found.concepts) > 1),
    )
    if format != "table":
        for line in _below(found):
            say(line)
    say_notices(library_opened)


_ESTIMATES = ("lift",)
_COLUMNS = (
    "concepts", "count", "of", "expected", "lift", "p", "p_adjusted", "says", "same_fighter", "other_fighter",
    "other_or_unsaid", "at_one_time", "places",
)  # fmt: skip


def _flat(row: dict[str, Any]) -> dict[str, Any]:
    """Places of a run are joined by `>`, as concepts are."""
    places = [">".join(f"{act['file']}:{act['line']}" for act in run) for run in row["runs"]]
    return flat_estimates({**row, "concepts": " > ".join(row["concepts"]), "places": places}, _ESTIMATES)


def _print(found: Sequences, *, moments: bool) -> None:
    if found.found:
        says = ("says",) if any(chain.says for chain in found.found) else ()
        header = ("", "chain", "times", "by chance", "lift", *says, "same fighter", "other fighter", "at one time")
        print_table(header, (_row(*row, *says) for row in enumerate(found.found, start=1)), wide=1)
    if moments and any(chain.runs for chain in found.found):
        print_lines([""])
        print_moments(_moments(found))
    print_lines(_below(found))


def _row(place: int, chain: Chain, *says: str) -> tuple[str, ...]:
    following, by_whom = chain.following, chain.by_whom
    unsaid = by_whom["else"] == following.count
    return (
        str(place),
        arrows(chain.concepts),
        whole(f"{following.count} of {following.of}"),
        following.by_chance,
        whole(estimate(following.lift)),
        *(chain.verdict for _ in says),
        *(NOTHING if unsaid else str(by_whom[who]) for who in ("same", "other")),
        str(chain.at_one_time),
    )


def arrows(concepts: Sequence[str]) -> str:
    return " → ".join(map(whole, concepts))


def _moments(found: Sequences) -> Iterator[tuple[str, Hit]]:
    """Chain and run as a number, with each moment of the run in turn."""
    for place, chain in enumerate(found.found, start=1):
        for nth, run in enumerate(chain.runs, start=1):
            for hit in {hit.place: hit for hit in found.hits(run)}.values():
                yield f"{place}.{nth}", hit


def _below(found: Sequences) -> Iterator[str]:
    if not found.found:
        yield found.nothing
    yield str(found.basis.coverage)
    yield from found.notices
