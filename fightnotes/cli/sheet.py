"""`fightnotes sheet`."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Literal

import typer

from fightnotes.cli.filter_options import takes_filters
from fightnotes.cli.hits import print_hits
from fightnotes.cli.layout import print_blocks, print_table
from fightnotes.cli.options import InferredOption, LibraryOption, StoreOption, opened
from fightnotes.cli.output import print_file, print_json, print_lines, say, say_notices

if TYPE_CHECKING:
    from fightnotes.briefing.sheet import MatchSheet
    from fightnotes.library import Library
    from fightnotes.search.filters import Filters

HELP = """Say of two fighters before they meet what each does, when, against whom, how it comes off and what answers it.

Such as `fightnotes sheet corvale brandaal --to sheet.html`."""

SheetFormat = Literal["table", "markdown", "html", "json"]


@takes_filters
def run(
    first: Annotated[str, typer.Argument(metavar="FIGHTER", help="One, by any form of the name.", show_default=False)],
    second: Annotated[str, typer.Argument(metavar="OTHER", help="The one to be met.", show_default=False)],
    filters: Filters,
    inferred: InferredOption = False,
    to: Annotated[
        Path | None,
        typer.Option("--to", metavar="FILE", help="Write it into a file: .html, .md or .json.", show_default=False),
    ] = None,
    library: LibraryOption = None,
    store: StoreOption = None,
    format: Annotated[SheetFormat, typer.Option("--format", help="How to print the result.")] = "table",
) -> None:
    library_opened = opened(library, store)
    sheet = library_opened.sheet(first, second, filters, inferred=inferred)
    if to is not None:
        library_opened.write_match_sheet(sheet, to)
        say(f"wrote {to}")
    else:
        _print(sheet, library_opened, format)
    say_notices(library_opened)


def _print(sheet: MatchSheet, library: Library, format: SheetFormat) -> None:
    if format == "json":
        print_json(sheet.as_json())
    elif format == "markdown":
        print_lines(library.sheet_markdown(sheet))
    elif format == "html":
        print_file(library.sheet_html(sheet))
    else:
        _print_tables(sheet, library)
    if format == "json":
        for text in (*sheet.notices, *sheet.cautions):
            say(text)


def _print_tables(sheet: MatchSheet, library: Library) -> None:
    pages, moments = library.sheet_in_lines(sheet)
    for page in pages:
        print_blocks([(page.title, *page.below)])
        for section in page.sections:
            print_lines([""])
            if section.rows:
                print_table((section.title, section.about, "moments"), section.rows, wide=1)
            else:
                print_lines([f"{section.title}: {section.about}"])
            print_blocks((text,) for text in section.below)
        print_lines([""])
    if moments:
        print_hits("table", moments, None, ())
    print_lines((*sheet.notices, *sheet.cautions))
