"""`fightnotes suggest`."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Literal

import typer

from fightnotes.cli.changes import DryRunOption, carry_out
from fightnotes.cli.layout import print_blocks, whole, with_whole
from fightnotes.cli.options import Format, FormatOption, LibraryOption, StoreOption, opened
from fightnotes.cli.output import print_result, say, say_notices

if TYPE_CHECKING:
    from fightnotes.suggesting.suggestion import Suggestion

Only = Literal["tags", "fields"]
HELP = "Suggest tags and fields with their reasons, go through them one by one, or take the surest."


def run(
    library: LibraryOption = None,
    store: StoreOption = None,
    bout: Annotated[list[str] | None, typer.Option(metavar="ID", help="The bout's id.")] = None,
    above: Annotated[float | None, typer.Option(min=0, max=1, help="The least probability; 0.5 if not given.")] = None,
    only: Annotated[Only | None, typer.Option(help="Tags alone, or fields alone.")] = None,
    limit: Annotated[int | None, typer.Option("--limit", "-n", min=1, help="The most suggestions.")] = None,
    review: Annotated[bool, typer.Option("--review", help="Decide one by one at the terminal.")] = False,
    take_above: Annotated[
        float | None, typer.Option(min=0, max=1, help="Write every mark of at least this probability into the notes.")
    ] = None,
    dry_run: DryRunOption = False,
    format: FormatOption = "table",
) -> None:
    if review and take_above is not None:
        raise typer.BadParameter("it is decided one by one or in bulk, not both", param_hint="--review")
    if dry_run and take_above is None:
        raise typer.BadParameter("there is nothing to try without --take-above", param_hint="--dry-run")
    library_opened = opened(library, store)
    least = above if take_above is None else take_above
    found = library_opened.suggest_marks(above=least, bouts=bout or (), only=only)
    say_notices(library_opened)
    if take_above is not None:
        taken = _writable(found)[:limit]
        plan = library_opened.plan_marks([(each.segment, each.name) for each in taken])
        carry_out(library_opened, plan, dry_run, format)
        return
    if review:
        from fightnotes.cli.review import go_through

        go_through(library_opened, _writable(found)[:limit])
    else:
        _print(found[:limit], format)


def _writable(found: tuple[Suggestion, ...]) -> tuple[Suggestion, ...]:
    """Those for notes; says how many are for transcripts."""
    kept = tuple(each for each in found if each.writable)
    if len(kept) < len(found):
        say(f"suggestions for transcripts, which are not edited: {len(found) - len(kept)}; put such a mark in a note")
    return kept


def _print(found: tuple[Suggestion, ...], format: Format) -> None:
    from fightnotes import MOMENT_COLUMNS

    plain = [each.as_json() for each in found]
    print_result(
        format,
        document={"suggestions": plain},
        columns=("probability", "mark", "concept", "label", "field", "value", *MOMENT_COLUMNS, "writable", "why"),
        rows=(
            row | {"inferred": "; ".join(each.inferred), "why": row["why"]["text"]}
            for row, each in zip(plain, found, strict=True)
        ),
        table=lambda: print_blocks(map(_block, found)),
    )
    if not found:
        say("nothing to suggest")


def _block(each: Suggestion) -> tuple[str, str, str]:
    """The mark with where it belongs, what the note says, and why."""
    place = whole(each.place) + ("" if each.writable else " (transcript)")
    why = with_whole(str(each.why), each.why.places)
    return (
        "  ".join((f"{each.mark} {each.probability:.0%}", *each.where, place)),
        " ".join(filter(None, (each.text, each.marks))),
        f"why: {why}",
    )
