"""`fightnotes vocabulary export` and `import`: SKOS out and in."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Literal

import typer

from fightnotes.cli.changes import DryRunOption, carry_out
from fightnotes.cli.options import LibraryOption, opened
from fightnotes.cli.output import print_file, say

SkosFormatOption = Annotated[
    Literal["turtle", "json-ld"] | None,
    typer.Option("--format", help="Else as the file is named: .ttl, .jsonld, .json."),
]


def register(app: typer.Typer) -> None:
    app.command(name="export", help="The vocabulary as SKOS, to a file or to standard output.")(export)
    app.command(name="import", help="Concepts from a SKOS file into vocabulary.yaml.")(import_)


def export(
    file: Annotated[
        Path | None, typer.Argument(help="Where to write; else standard output.", show_default=False)
    ] = None,
    library: LibraryOption = None,
    base: Annotated[
        str, typer.Option(metavar="ADDRESS", help="What the ids are put behind to make addresses.", show_default=False)
    ] = "",
    language: Annotated[str, typer.Option(help="The language that the texts are in.")] = "en",
    format: SkosFormatOption = None,
) -> None:
    library_opened = opened(library)
    reading = library_opened.read()
    if file is None:
        print_file(library_opened.vocabulary_as_skos(format or "turtle", base or None, language))
    else:
        library_opened.export_vocabulary(file, format, base or None, language)
    say(f"{len(reading.vocabulary.concepts)} concepts")
    if reading.vocabulary_problems:
        say("vocabulary.yaml has problems, so some of it may be missing: see `fightnotes vocabulary check`")
        raise typer.Exit(1)


def import_(
    file: Annotated[Path, typer.Argument(help="The SKOS file.", show_default=False)],
    library: LibraryOption = None,
    language: Annotated[str, typer.Option(help="The language whose texts are taken, regional forms with it.")] = "en",
    whole: Annotated[bool, typer.Option("--whole", help="Concepts that the file does not hold go.")] = False,
    dry_run: DryRunOption = False,
    format: SkosFormatOption = None,
) -> None:
    library_opened = opened(library)
    plan = library_opened.plan_import(file, format, language, whole)
    carry_out(library_opened, plan, dry_run)
    if plan.refused:
        raise typer.Exit(1)
