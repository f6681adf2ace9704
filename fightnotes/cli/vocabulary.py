"""`fightnotes vocabulary`: what the vocabulary says, and the commands that change it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Any

import typer

from fightnotes.cli import vocabulary_edits, vocabulary_exchange
from fightnotes.cli.options import Format, FormatOption, LibraryOption, library_root
from fightnotes.cli.output import print_csv, print_json, print_table, say
from fightnotes.cli.vocabulary_exchange import vocabulary_problems

if TYPE_CHECKING:
    from fightnotes.model import Concept, Vocabulary
    from fightnotes.vocabulary.usage import Branch, ConceptUse

HELP = "Show, check, change and exchange the vocabulary."

app = typer.Typer(help=HELP, no_args_is_help=True, rich_markup_mode=None)


@app.command(help="The concepts as a tree, with their labels and how often and by whom each is used.")
def show(
    concept: Annotated[
        str, typer.Argument(help="A concept, by id or label: only it and what is below it.", show_default=False)
    ] = "",
    library: LibraryOption = None,
    definitions: Annotated[bool, typer.Option("--definitions", help="With definition and scope note.")] = False,
    format: FormatOption = Format.TABLE,
) -> None:
    from fightnotes.library import open_library
    from fightnotes.vocabulary.changed import named
    from fightnotes.vocabulary.usage import concept_uses, tree

    reading = open_library(library_root(library)).read()
    vocabulary = reading.vocabulary
    top = named(vocabulary, vocabulary.resolve(concept) or concept).id if concept else None
    uses = concept_uses(vocabulary, reading.segments)
    branches = tuple(tree(vocabulary, top))
    if format is Format.TABLE:
        print_table(
            ("concept", "labels", "tags", "moments", "by"),
            [_row(branch, uses[branch.concept.id], definitions) for branch in branches],
            wide=1,
        )
    else:
        once = [branch.concept for branch in branches if not branch.again]
        records = [_record(each, vocabulary, uses[each.id]) for each in once]
        if format is Format.JSON:
            terms = [] if concept else [term.model_dump(mode="json") for term in vocabulary.terms]
            print_json({"concepts": records, "terms": terms})
        else:
            _print_records(records)
    if vocabulary_problems(reading):
        say("vocabulary.yaml has problems: see `fightnotes vocabulary check`")


@app.command(help="Check the vocabulary: SKOS conditions S13, S14 and S27, cycles, shared labels, links to nothing.")
def check(library: LibraryOption = None, format: FormatOption = Format.TABLE) -> None:
    from fightnotes.library import open_library

    reading = open_library(library_root(library)).read()
    problems = vocabulary_problems(reading)
    if format is Format.JSON:
        print_json({"problems": [vars(problem) for problem in problems]})
    elif format is Format.CSV:
        print_csv(
            ("file", "line", "column", "found", "expected", "kind"),
            [list(vars(problem).values()) for problem in problems],
        )
    else:
        for problem in problems:
            print(problem)
    if problems:
        say(f"{len(problems)} {'problem' if len(problems) == 1 else 'problems'}")
        raise typer.Exit(1)
    say(f"{len(reading.vocabulary.concepts)} concepts, nothing wrong")


vocabulary_edits.register(app)
vocabulary_exchange.register(app)


def _row(branch: Branch, use: ConceptUse, definitions: bool) -> tuple[str, str, str, str, str]:
    concept, indent = branch.concept, "  " * branch.depth
    if branch.again:
        return f"{indent}{concept.id}", "(see above)", "", "", ""
    labels = [concept.label, *concept.also]
    lines = [", ".join(labels)]
    if concept.misheard:
        lines.append(f"misheard: {', '.join(concept.misheard)}")
    if concept.related:
        lines.append(f"related: {', '.join(concept.related)}")
    if definitions:
        lines += [*filter(None, (concept.definition, concept.scope))]
    analysts = ", ".join(f"{analyst} {count}" for analyst, count in use.analysts.items())
    return f"{indent}{concept.id}", "\n".join(lines), str(use.tags), str(use.moments), analysts


def _record(concept: Concept, vocabulary: Vocabulary, use: ConceptUse) -> dict[str, Any]:
    return {
        **concept.model_dump(mode="json"),
        "narrower": list(vocabulary.narrower[concept.id]),
        "used": {"tags": use.tags, "moments": use.moments, "bouts": use.bouts, "analysts": use.analysts},
    }


def _print_records(records: list[dict[str, Any]]) -> None:
    columns = ("id", "label", "broader", "narrower", "related", "pairing", "definition", "scope", "line")
    rows = [
        [
            *(record[column] for column in columns),
            "; ".join(record["also"]),
            "; ".join(record["misheard"]),
            *(record["used"][key] for key in ("tags", "moments", "bouts")),
            [f"{analyst}:{count}" for analyst, count in record["used"]["analysts"].items()],
        ]
        for record in records
    ]
    print_csv((*columns, "also", "misheard", "tags", "moments", "bouts", "analysts"), rows)
