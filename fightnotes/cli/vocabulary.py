"""`fightnotes vocabulary`: what the vocabulary says, and the commands that change it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Any

import typer

from fightnotes.cli import vocabulary_edits, vocabulary_exchange
from fightnotes.cli.layout import print_table
from fightnotes.cli.options import FormatOption, LibraryOption, opened
from fightnotes.cli.output import PROBLEM_COLUMNS, print_lines, print_result, say, say_notices
from fightnotes.visible import visible_line

if TYPE_CHECKING:
    from fightnotes.vocabulary.usage import Branch

app = typer.Typer(help="Show, check, change and exchange the vocabulary.", no_args_is_help=True, rich_markup_mode=None)


@app.command(help="The concepts as a tree, with their labels and how often and by whom each is used.")
def show(
    concept: Annotated[
        str, typer.Argument(help="A concept, by id or label: only it and what is below it.", show_default=False)
    ] = "",
    library: LibraryOption = None,
    definitions: Annotated[bool, typer.Option("--definitions", help="With definition and scope note.")] = False,
    format: FormatOption = "table",
) -> None:
    library_opened = opened(library)
    branches = library_opened.concept_tree(concept or None)
    reading = library_opened.read()
    records = [branch.as_json() for branch in branches if not branch.again]
    print_result(
        format,
        document={
            "concepts": records,
            "terms": [] if concept else [term.model_dump(mode="json") for term in reading.vocabulary.terms],
        },
        columns=_COLUMNS,
        rows=map(_flat, records),
        table=lambda: print_table(
            ("concept", "labels", "tags", "moments", "by"), [_row(branch, definitions) for branch in branches], wide=1
        ),
    )
    say_notices(library_opened)
    if reading.vocabulary_problems:
        say("vocabulary.yaml has problems: see `fightnotes vocabulary check`")


@app.command(help="Check the vocabulary: SKOS conditions, cycles, shared labels or addresses, links to nothing.")
def check(library: LibraryOption = None, format: FormatOption = "table") -> None:
    reading = opened(library).read()
    problems = reading.vocabulary_problems
    print_result(
        format,
        document={"problems": [vars(problem) for problem in problems]},
        columns=PROBLEM_COLUMNS,
        rows=map(vars, problems),
        table=lambda: print_lines(visible_line(str(problem)) for problem in problems),
    )
    if problems:
        say(f"{len(problems)} {'problem' if len(problems) == 1 else 'problems'}")
        raise typer.Exit(1)
    say(f"{len(reading.vocabulary.concepts)} concepts, nothing wrong")


vocabulary_edits.register(app)
vocabulary_exchange.register(app)


def _row(branch: Branch, definitions: bool) -> tuple[str, str, str, str, str]:
    concept, indent = branch.concept, "  " * branch.depth
    if branch.again:
        return f"{indent}{concept.id}", "(see above)", "", "", ""
    lines = [", ".join((concept.label, *concept.also))]
    if concept.misheard:
        lines.append(f"misheard: {', '.join(concept.misheard)}")
    if concept.related:
        lines.append(f"related: {', '.join(concept.related)}")
    if definitions:
        lines += [*filter(None, (concept.definition, concept.scope))]
    uses = branch.uses
    analysts = ", ".join(f"{analyst} {count}" for analyst, count in uses.analysts.items())
    return f"{indent}{concept.id}", "\n".join(lines), str(uses.tags), str(uses.moments), analysts


_COLUMNS = (
    "id", "label", "broader", "narrower", "related", "pairing", "definition", "scope", "line", "also", "misheard",
    "notation", "match", "address",
    "tags", "moments", "bouts", "analysts",
)  # fmt: skip


def _flat(record: dict[str, Any]) -> dict[str, Any]:
    used = record["used"]
    several = {key: "; ".join(record[key]) for key in ("also", "misheard", "notation", "match")}
    analysts = [f"{analyst}:{count}" for analyst, count in used["analysts"].items()]
    return {**record, **used, **several, "analysts": analysts}
