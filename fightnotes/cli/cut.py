"""`fightnotes cut`."""

from __future__ import annotations

import re
from collections import Counter
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any, Literal

import typer

from fightnotes.cli.filter_options import takes_filters
from fightnotes.cli.layout import print_table, whole
from fightnotes.cli.options import (
    Format,
    FormatOption,
    LibraryOption,
    LikeOption,
    QueryArgument,
    SpreadOption,
    StoreOption,
    UnlikeOption,
    opened,
)
from fightnotes.cli.output import print_file, print_lines, print_result, say, say_notices

if TYPE_CHECKING:
    from fightnotes.cutting import Assembly
    from fightnotes.search.filters import Filters

HELP = "Make a cut list of moments, save it to edit, and write it in the formats that editors read."


OrderChoice = Literal["date", "bout", "round", "relevance", "outcome", "hand"]
Seconds = Fraction | None


def _seconds(text: str) -> Fraction:
    from fightnotes import seconds_of

    try:
        return seconds_of(text)
    except ValueError as error:
        raise typer.BadParameter("seconds, such as 2 or 1.5, or m:ss") from error


def _export(name: str) -> str:
    from fightnotes.library import export_names

    if name not in (known := export_names()):
        raise typer.BadParameter(f"one of {', '.join(known)}")
    return name


@takes_filters
def run(
    filters: Filters,
    query: QueryArgument = None,
    like: LikeOption = None,
    unlike: UnlikeOption = None,
    saved: Annotated[Path | None, typer.Option("--from", metavar="FILE", help="A saved cut list.")] = None,
    accept: Annotated[
        bool, typer.Option("--accept", help="For moments of it that are lost take those that are offered.")
    ] = False,
    limit: Annotated[
        int | None,
        typer.Option("--limit", "-n", min=1, metavar="N", help="The most moments to take; else 20 of a query."),
    ] = None,
    spread: SpreadOption = False,
    pick: Annotated[
        str, typer.Option(metavar="N,N", help="Only these of the query's hits, as `find` numbers them.")
    ] = "",
    at: Annotated[list[str] | None, typer.Option(metavar="FILE:LINE", help="The note at this place, too.")] = None,
    before: Annotated[Seconds, typer.Option(parser=_seconds, metavar="S", help="Handle before each moment.")] = None,
    after: Annotated[Seconds, typer.Option(parser=_seconds, metavar="S", help="Handle after it.")] = None,
    inside_round: Annotated[bool, typer.Option("--inside-round", help="Keep each cut within its round.")] = False,
    order: Annotated[OrderChoice | None, typer.Option(help="How cuts follow; else by date, or by hand.")] = None,
    length: Annotated[
        Seconds, typer.Option(parser=_seconds, metavar="M:SS", help="Take the best that fit, spread over bouts.")
    ] = None,
    reel_start: Annotated[
        str | None, typer.Option(metavar="TIMECODE", help="Of the reel's first frame, such as 01:00:00:00; else 0.")
    ] = None,
    at_hand: Annotated[bool, typer.Option("--at-hand", help="Only moments whose footage is there.")] = False,
    title: Annotated[str | None, typer.Option(metavar="TEXT", help="Title of the list.")] = None,
    save: Annotated[Path | None, typer.Option(metavar="FILE", help="Save the list to edit and to use again.")] = None,
    force: Annotated[bool, typer.Option("--force", help="Save over a list that was edited by hand.")] = False,
    out: Annotated[
        list[Path] | None, typer.Option(metavar="FILE", help="Write the list, in the format of --to or of the ending.")
    ] = None,
    to: Annotated[
        str | None,
        typer.Option(parser=_export, metavar="FORMAT", help="otio, edl, ...; without --out, on standard output."),
    ] = None,
    sheet: Annotated[Path | None, typer.Option(metavar="FILE", help="A still of each cut, .png or .jpg.")] = None,
    library: LibraryOption = None,
    store: StoreOption = None,
    format: FormatOption = "table",
) -> None:
    from fightnotes import Arrangement, Selection

    if to and not out and format != "table":
        raise typer.BadParameter("without --out it takes standard output, as --format does", param_hint="--to")
    library_opened = opened(library, store)
    assembly = library_opened.cut(
        Selection(
            saved=saved,
            accept=accept,
            query=" ".join(query or ()),
            filters=filters,
            like=tuple(like or ()),
            unlike=tuple(unlike or ()),
            limit=limit,
            spread=spread,
            pick=_numbers(pick),
            at=tuple(at or ()),
        ),
        Arrangement(
            before=before,
            after=after,
            inside_round=inside_round,
            order=order,
            target=length,
            at_hand=at_hand,
            reel_start=reel_start,
            title=title,
        ),
    )
    tell(assembly)
    say_notices(library_opened)
    for caution in assembly.cautions:
        say(caution)
    if save:
        library_opened.save_list(assembly, save, force=force)
        say(f"saved: {save}")
    for path in out or ():
        for written in library_opened.write_export(assembly, path, to):
            say(f"written: {written}")
    if sheet:
        for note in library_opened.write_sheet(assembly, sheet):
            say(note)
        say(f"written: {sheet}")
    if to and not out:
        print_file(library_opened.export(assembly, to))
    else:
        _print(assembly, format)
    if not assembly.complete:
        raise typer.Exit(1)


def tell(assembly: Assembly) -> None:
    """What is lost, wrong, left out or worth knowing, on standard error."""
    made = assembly.cut_list
    named = [left_out for left_out in made.left_out if not left_out.by_choice]
    counted = Counter(left_out.why for left_out in made.left_out if left_out.by_choice)
    for sentence in (*assembly.faults, *map(str, named), *made.notes, *assembly.selected.notices):
        say(sentence)
    for why, moments in counted.items():
        say(f"left out, {why}: {moments}")
    if not made.cuts:
        say("the cut list is empty")


def _numbers(text: str) -> tuple[int, ...]:
    """`1,3,7-9`. Raises typer.BadParameter."""
    found: list[int] = []
    for part in filter(None, text.replace(" ", "").split(",")):
        match = re.fullmatch(r"(\d{1,6})(?:-(\d{1,6}))?", part, re.ASCII)
        if match is None:
            raise typer.BadParameter("numbers of hits, such as 1,3,7-9", param_hint="--pick")
        found.extend(range(int(match[1]), int(match[2] or match[1]) + 1))
    return tuple(found)


def _print(assembly: Assembly, format: Format) -> None:
    from fightnotes import CUT_COLUMNS

    document = assembly.as_json()
    print_result(
        format,
        document=document,
        columns=CUT_COLUMNS,
        rows=document["cuts"],
        table=lambda: _print_table(document, assembly.summary) if document["cuts"] else None,
    )


def _print_table(document: dict[str, Any], summary: str) -> None:
    cells = [
        (
            str(row["number"]),
            row["record_in"],
            f"{whole(row['media'] or row['bout'])}\n{row['in_timecode']} - {row['out_timecode_exclusive']}",
            "\n".join((row["title"], row["text"], *map(whole, row["notes"]))),
        )
        for row in document["cuts"]
    ]
    print_table(("", "reel", "source", "note"), cells, wide=3)
    print_lines([summary])
