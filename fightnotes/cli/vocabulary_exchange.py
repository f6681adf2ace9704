"""`fightnotes vocabulary export` and `import`: SKOS out and in."""

from __future__ import annotations

import sys
from dataclasses import replace
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from fightnotes.cli.changes import ChangeFormat, DryRunOption, carry_out
from fightnotes.cli.options import LibraryOption, library_root
from fightnotes.cli.output import say

if TYPE_CHECKING:
    from fightnotes.errors import Problem
    from fightnotes.reading.library import LibraryReading


class SkosFormat(StrEnum):
    TURTLE = "turtle"
    JSON_LD = "json-ld"


_SUFFIXES = {".ttl": SkosFormat.TURTLE, ".jsonld": SkosFormat.JSON_LD, ".json": SkosFormat.JSON_LD}
SkosFormatOption = Annotated[
    SkosFormat | None, typer.Option("--format", help="Else as the file is named: .ttl, .jsonld, .json.")
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
    format: SkosFormatOption = None,
) -> None:
    from fightnotes.editing.atomic import write_file
    from fightnotes.library import open_library
    from fightnotes.vocabulary.skos import BASE, export_skos

    reading = open_library(library_root(library)).read()
    text = export_skos(reading.vocabulary, _format(format, file).value, base or BASE)
    if file is None:
        sys.stdout.write(text)
    else:
        write_file(file, text.encode())
    say(f"{len(reading.vocabulary.concepts)} concepts")
    if vocabulary_problems(reading):
        say("vocabulary.yaml has problems, so some of it may be missing: see `fightnotes vocabulary check`")
        raise typer.Exit(1)


def import_(
    file: Annotated[Path, typer.Argument(help="The SKOS file.", show_default=False)],
    library: LibraryOption = None,
    language: Annotated[str, typer.Option(help="The language whose texts are taken.")] = "en",
    whole: Annotated[bool, typer.Option("--whole", help="Concepts that the file does not hold go.")] = False,
    dry_run: DryRunOption = False,
    format: SkosFormatOption = None,
) -> None:
    from fightnotes.errors import Problem, UnreadableFile
    from fightnotes.library import open_library
    from fightnotes.vocabulary.imported import plan_import
    from fightnotes.vocabulary.skos import import_skos

    try:
        text = file.read_text(encoding="utf-8-sig")
    except OSError as error:
        problem = Problem(str(file), 0, 0, error.strerror or str(error), "a file that can be read")
        raise UnreadableFile(problem) from error
    except UnicodeDecodeError as error:
        raise UnreadableFile(Problem(str(file), 1, 1, f"byte {error.start} that is no UTF-8", "UTF-8")) from error
    try:
        imported, notes = import_skos(text, _format(format, file).value, language)
    except UnreadableFile as error:
        raise UnreadableFile(replace(error.problem, file=str(file))) from error
    for note in notes:
        say(note)
    opened = open_library(library_root(library))
    carry_out(opened, plan_import(opened.text(), imported, whole), dry_run, ChangeFormat.DIFF)


def vocabulary_problems(reading: LibraryReading) -> list[Problem]:
    from fightnotes.reading.library import VOCABULARY_FILE

    return [problem for problem in reading.problems if problem.file == VOCABULARY_FILE]


def _format(given: SkosFormat | None, file: Path | None) -> SkosFormat:
    if given is not None:
        return given
    if file is None:
        return SkosFormat.TURTLE
    if file.suffix.lower() not in _SUFFIXES:
        raise typer.BadParameter(f"say which format {file.name} has", param_hint="--format")
    return _SUFFIXES[file.suffix.lower()]
