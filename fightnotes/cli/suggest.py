"""`fightnotes suggest`."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from fightnotes.cli.changes import ChangeFormat, DryRunOption, carry_out
from fightnotes.cli.options import Format, FormatOption, LibraryOption, library_root
from fightnotes.cli.output import print_csv, print_json, print_table, say, say_changed

if TYPE_CHECKING:
    from fightnotes.library import Library
    from fightnotes.suggesting.suggest import Suggestion

HELP = "Suggest tags with their reasons, go through them one by one, or take the surest."


def run(
    library: LibraryOption = None,
    bout: Annotated[list[str] | None, typer.Option(help="The bout's id.")] = None,
    above: Annotated[float | None, typer.Option(min=0, max=1, help="The least probability; 0.5 if not given.")] = None,
    limit: Annotated[int | None, typer.Option(min=1, help="The most suggestions.")] = None,
    review: Annotated[bool, typer.Option("--review", help="Decide one by one at the terminal.")] = False,
    take_above: Annotated[
        float | None,
        typer.Option(min=0, max=1, help="Write every tag of at least this probability into the notes."),
    ] = None,
    dry_run: DryRunOption = False,
    format: FormatOption = Format.TABLE,
) -> None:
    if review and take_above is not None:
        raise typer.BadParameter("it is decided one by one or in bulk, not both", param_hint="--review")
    if dry_run and take_above is None:
        raise typer.BadParameter("there is nothing to try without --take-above", param_hint="--dry-run")
    from fightnotes.library import open_library
    from fightnotes.suggesting.suggest import THRESHOLD

    opened = open_library(library_root(library))
    least = THRESHOLD if above is None else above
    found = opened.suggest(above=least if take_above is None else take_above, bouts=bout or ())
    if take_above is not None:
        _take(opened, _writable(found)[:limit], dry_run, format)
        return
    if review:
        from fightnotes.cli.review import go_through

        go_through(opened, _writable(found)[:limit])
    else:
        _print(opened, found[:limit], format)
    say_changed(opened.store.changed_files())


def _take(library: Library, found: tuple[Suggestion, ...], dry_run: bool, format: Format) -> None:
    plan = library.plan_tags([(each.segment, each.concept) for each in found])
    carry_out(library, plan, dry_run, ChangeFormat.JSON if format is Format.JSON else ChangeFormat.DIFF)


def _writable(found: tuple[Suggestion, ...]) -> tuple[Suggestion, ...]:
    """Those for notes; says how many are for transcripts."""
    kept = tuple(each for each in found if each.writable)
    if len(kept) < len(found):
        say(f"suggestions for transcripts, which are not edited: {len(found) - len(kept)}; put such a tag in a note")
    return kept


_COLUMNS = ("probability", "concept", "label", "bout", "file", "line", "start", "end", "timed_on", "round",
            "round_clock", "text", "tags", "by", "on", "outcome", "target", "analyst", "writable")  # fmt: skip


def _print(library: Library, found: tuple[Suggestion, ...], format: Format) -> None:
    bouts = library.store.bouts
    plain = [each.as_json(bouts[each.segment.bout]) | {"probability": each.probability} for each in found]
    if format is Format.JSON:
        print_json({"suggestions": plain})
    elif format is Format.CSV:
        print_csv((*_COLUMNS, "why"), [[*(row[column] for column in _COLUMNS), row["why"]["text"]] for row in plain])
    elif found:
        print_table(("tag", "note", "why"), [_row(each) for each in found], wide=1)
    if not found:
        say("nothing to suggest")


def _row(each: Suggestion) -> tuple[str, str, str]:
    segment = each.segment
    tags = " ".join(f"#{tag.name}" for tag in segment.tags)
    place = f"{segment.file}:{segment.line}" + ("" if each.writable else " (transcript)")
    note = "\n".join(filter(None, (" ".join(segment.text.split()), tags, place)))
    return f"#{each.concept}\n{each.probability:.0%}", note, str(each.why).replace("; ", "\n")
