"""`fightnotes vocabulary start`, `add`, `label`, `merge`, `rename`, `split`, `retire`, `undo`."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Literal

import typer

from fightnotes.cli.changes import ChangeFormatOption, DryRunOption, carry_out, show_change
from fightnotes.cli.options import LibraryOption, opened
from fightnotes.cli.output import say

if TYPE_CHECKING:
    from fightnotes.model import Concept, Segment
    from fightnotes.vocabulary.edits import TagPlace

_PART = re.compile(r"(?P<id>[^=]+?)\s*(?:=\s*(?P<label>.+))?")
_GIVEN = re.compile(r"(?P<file>.+?):(?P<line>\d+)(?::(?P<column>\d+))?=(?P<part>[^=]+)")


Many = list[str] | None
ConceptArgument = Annotated[str, typer.Argument(metavar="ID", help="The concept's id.", show_default=False)]
AlsoOption = Annotated[Many, typer.Option(help="Another label; may be repeated.")]
MisheardOption = Annotated[Many, typer.Option(help="What a speech recogniser makes of a label; may be repeated.")]


def register(app: typer.Typer) -> None:
    app.command(help="Begin with plain words of the trade: a packaged vocabulary, whole or in part.")(start)
    app.command(help="A new concept.")(add)
    app.command(help="More labels for a concept.")(label)
    app.command(help="One concept becomes part of another, and its tags with it.")(merge)
    app.command(help="Another id or preferred label; the old words stay as labels.")(rename)
    app.command(help="New concepts below one, and the tags that go to each.")(split)
    app.command(help="A concept taken out; its tags go to the broader one, or another.")(retire)
    app.command(help="Take the last change back, or that of an undo file.")(undo)


def start(
    library: LibraryOption = None,
    part: Annotated[Many, typer.Option(metavar="ID", help="Only this branch of it; may be repeated.")] = None,
    dry_run: DryRunOption = False,
    format: ChangeFormatOption = "diff",
) -> None:
    library_opened = opened(library)
    carry_out(library_opened, library_opened.plan_start(part or ()), dry_run, format)


def add(
    id: ConceptArgument,
    library: LibraryOption = None,
    label: Annotated[str, typer.Option(help="Preferred label; else the words of the id.", show_default=False)] = "",
    also: AlsoOption = None,
    misheard: MisheardOption = None,
    broader: Annotated[Many, typer.Option(metavar="ID", help="The concept above it.")] = None,
    related: Annotated[Many, typer.Option(metavar="ID", help="A concept beside it.")] = None,
    definition: Annotated[str, typer.Option(help="What it is.", show_default=False)] = "",
    scope: Annotated[str, typer.Option(help="When to use it.", show_default=False)] = "",
    pairing: Annotated[Literal["open", "closed"] | None, typer.Option(help="The stance pairing that it needs.")] = None,
    dry_run: DryRunOption = False,
    format: ChangeFormatOption = "diff",
) -> None:
    library_opened = opened(library)
    several = {"also": also, "misheard": misheard, "broader": broader, "related": related}
    more = {"definition": definition, "scope": scope, "pairing": pairing}
    lists = {key: tuple(given or ()) for key, given in several.items()}
    concept = _concept(id, label).model_copy(update={**lists, **more})
    carry_out(library_opened, library_opened.plan_concept(concept), dry_run, format)


def label(
    id: ConceptArgument,
    library: LibraryOption = None,
    also: AlsoOption = None,
    misheard: MisheardOption = None,
    dry_run: DryRunOption = False,
    format: ChangeFormatOption = "diff",
) -> None:
    library_opened = opened(library)
    carry_out(library_opened, library_opened.plan_labels(id, also or (), misheard or ()), dry_run, format)


def merge(
    gone: Annotated[str, typer.Argument(metavar="GONE", help="The concept that goes.")],
    into: Annotated[str, typer.Argument(metavar="INTO", help="The concept that takes its place.")],
    library: LibraryOption = None,
    dry_run: DryRunOption = False,
    format: ChangeFormatOption = "diff",
) -> None:
    library_opened = opened(library)
    carry_out(library_opened, library_opened.plan_merge(gone, into), dry_run, format)


def rename(
    id: ConceptArgument,
    library: LibraryOption = None,
    new_id: Annotated[str | None, typer.Option("--id", metavar="NEW", help="The new id.")] = None,
    new_label: Annotated[str | None, typer.Option("--label", metavar="NEW", help="The new preferred label.")] = None,
    forget: Annotated[bool, typer.Option("--forget", help="Do not keep the old words as labels.")] = False,
    dry_run: DryRunOption = False,
    format: ChangeFormatOption = "diff",
) -> None:
    if not new_id and not new_label:
        raise typer.BadParameter("give a new id, a new label or both", param_hint="--id, --label")
    if new_id:
        _concept(new_id, "")
    library_opened = opened(library)
    carry_out(library_opened, library_opened.plan_rename(id, new_id, new_label, not forget), dry_run, format)


def split(
    id: ConceptArgument,
    library: LibraryOption = None,
    part: Annotated[Many, typer.Option(metavar="ID[=LABEL]", help="A new concept below it; may be repeated.")] = None,
    give: Annotated[
        Many, typer.Option(metavar="FILE:LINE[:COLUMN]=ID", help="The part that a tag there goes to; may be repeated.")
    ] = None,
    dry_run: DryRunOption = False,
    format: ChangeFormatOption = "diff",
) -> None:
    parts = [_part(text) for text in part or ()]
    if not parts:
        raise typer.BadParameter("name the parts", param_hint="--part")
    library_opened = opened(library)
    segments = library_opened.read().segments
    assigned = dict(place for given in give or () for place in _places(given, id, segments))
    carry_out(library_opened, library_opened.plan_split(id, parts, assigned), dry_run, format)


def retire(
    id: ConceptArgument,
    library: LibraryOption = None,
    instead: Annotated[str | None, typer.Option(metavar="ID", help="The concept that takes its tags.")] = None,
    dry_run: DryRunOption = False,
    format: ChangeFormatOption = "diff",
) -> None:
    library_opened = opened(library)
    carry_out(library_opened, library_opened.plan_retire(id, instead), dry_run, format)


def undo(
    file: Annotated[
        Path | None, typer.Argument(help="An undo file; else the one made last.", show_default=False)
    ] = None,
    library: LibraryOption = None,
    dry_run: DryRunOption = False,
    format: ChangeFormatOption = "diff",
) -> None:
    library_opened = opened(library)
    plan = library_opened.plan_undo(file)
    diff = library_opened.diff(plan)
    title = plan.title.removeprefix("undo: ") if dry_run else library_opened.undo(file)
    show_change(library_opened, plan, diff, None, format)
    say(f"dry run: would take back: {title}" if dry_run else f"taken back: {title}")


def _concept(id: str, label: str) -> Concept:
    from fightnotes import Concept, is_concept_id

    if not is_concept_id(id):
        raise typer.BadParameter(f"'{id}' is no id: a letter, then letters, digits and hyphens, with no hyphen last")
    return Concept(id=id, label=label or id.replace("-", " "))


def _part(text: str) -> Concept:
    match = _PART.fullmatch(text.strip())
    if match is None:
        raise typer.BadParameter(f"'{text}' is not ID or ID=LABEL", param_hint="--part")
    return _concept(match["id"], match["label"] or "")


def _places(given: str, id: str, segments: Iterable[Segment]) -> Iterator[tuple[TagPlace, str]]:
    """The tags of the concept on the line, or the one at the column; a place that is none is passed on as it is."""
    match = _GIVEN.fullmatch(given)
    if match is None:
        raise typer.BadParameter(f"'{given}' is not FILE:LINE=ID", param_hint="--give")
    file, line, part = match["file"], int(match["line"]), match["part"]
    if match["column"]:
        yield (file, line, int(match["column"])), part
        return
    columns = {
        tag.column
        for segment in segments
        if segment.file == file
        for tag in segment.tags
        if tag.line == line and tag.concept == id
    }
    for column in columns or {1}:
        yield (file, line, column), part
