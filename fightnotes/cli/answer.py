"""`fightnotes answer`."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Literal

import typer

from fightnotes.cli.filter_options import takes_filters
from fightnotes.cli.hits import print_hits
from fightnotes.cli.layout import print_blocks
from fightnotes.cli.options import InferredOption, LibraryOption, StoreOption, opened
from fightnotes.cli.output import print_json, print_lines, say, say_notices

if TYPE_CHECKING:
    from fightnotes.briefing.answer import Answer
    from fightnotes.search.filters import Filters

HELP = """Answer a question with the notes and what is counted of them, each sentence with its moments.

Such as `fightnotes answer "did the inside step cost him more and more?" --by orzhelian`."""

AnswerFormat = Literal["table", "markdown", "json"]


@takes_filters
def run(
    question: Annotated[
        list[str],
        typer.Argument(
            metavar="QUESTION",
            help="How often, more and more, does it work, what does it cost, who does it more, what follows, when.",
            show_default=False,
        ),
    ],
    filters: Filters,
    inferred: InferredOption = False,
    library: LibraryOption = None,
    store: StoreOption = None,
    format: Annotated[AnswerFormat, typer.Option("--format", help="How to print the result.")] = "table",
) -> None:
    library_opened = opened(library, store)
    found = library_opened.answer(" ".join(question), filters, inferred=inferred)
    if format == "json":
        print_json(found.as_json())
    elif format == "markdown":
        print_lines(library_opened.answer_markdown(found))
    else:
        _print(found)
    if format == "json":
        for notice in found.notices:
            say(notice)
    say_notices(library_opened)


def _print(found: Answer) -> None:
    lines, moments = found.in_lines()
    print_blocks([(found.says,), *((line,) for line in lines)])
    if moments:
        print_lines([""])
        print_hits("table", moments, None, ())
    print_lines(found.notices)
