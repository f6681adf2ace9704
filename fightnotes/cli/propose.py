"""`fightnotes propose`."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Literal

import typer

from fightnotes.cli.changes import DryRunOption, carry_out
from fightnotes.cli.layout import print_table, whole
from fightnotes.cli.options import Format, FormatOption, LibraryOption, StoreOption, opened
from fightnotes.cli.output import print_result, say, say_notices

if TYPE_CHECKING:
    from fightnotes.model import Moment
    from fightnotes.proposing.proposal import Proposal

HELP = "Propose terms for the vocabulary that the notes and transcripts use and no label covers."


def run(
    library: LibraryOption = None,
    store: StoreOption = None,
    limit: Annotated[int, typer.Option("--limit", "-n", min=1, help="The most proposals to print.")] = 20,
    apply: Annotated[
        str | None, typer.Option(metavar="TERM", help="Write the proposal for this term where it belongs.")
    ] = None,
    kind: Annotated[
        Literal["concept", "label", "misheard"] | None,
        typer.Option("--as", help="Apply it as this, in place of what is proposed."),
    ] = None,
    of: Annotated[
        str | None,
        typer.Option(
            metavar="ID", help="The concept that it is a label of, or that the new one stands under; or a fighter."
        ),
    ] = None,
    reject: Annotated[str | None, typer.Option(metavar="TERM", help="Never propose this term again.")] = None,
    dry_run: DryRunOption = False,
    format: FormatOption = "table",
) -> None:
    if (apply and reject) or ((kind or of or dry_run) and not apply):
        raise typer.BadParameter("--as, --of and --dry-run go with --apply, and --reject goes alone")
    library_opened = opened(library, store)
    say_notices(library_opened)
    if reject:
        library_opened.apply(library_opened.plan_term_rejection(reject))
        say(f"'{reject}' is not proposed again: rejected-terms.yaml says so")
        say("`fightnotes vocabulary undo` takes it back")
    elif apply:
        plan = library_opened.plan_proposal(apply, kind, of)
        carry_out(library_opened, plan, dry_run, format)
    else:
        _print(library_opened.propose(limit), format)


_COLUMNS = (
    "term", "kind", "seen_as", "concept", "also", "trade_word", "fighter", "bouts", "sure", "uses", "segments",
    "c_value", "tightness", "score", "weight", "why", "examples",
)  # fmt: skip


def _print(proposals: tuple[Proposal, ...], format: Format) -> None:
    plain = [proposal.as_json() for proposal in proposals]
    print_result(
        format,
        document={"proposals": plain},
        columns=_COLUMNS,
        rows=(
            row
            | {
                "also": "; ".join(each.also),
                "bouts": "; ".join(each.bouts),
                "examples": "; ".join(map(_shown, each.examples)),
            }
            for row, each in zip(plain, proposals, strict=True)
        ),
        table=lambda: print_table(("proposal", "where"), map(_row, proposals), wide=0) if proposals else None,
    )
    if not proposals:
        say("no term to propose")


def _shown(example: Moment) -> str:
    return f"{example.place} {', '.join(example.where)}"


def _row(proposal: Proposal) -> tuple[str, str]:
    measures = ["once" if proposal.uses == 1 else f"{proposal.uses} times"]
    if proposal.c_value is not None and proposal.tightness is not None:
        measures += [f"C-value {proposal.c_value:.1f}", f"tightness {proposal.tightness:.2f}"]
    places = [f"{', '.join(each.where)}\n  {whole(each.place)}" for each in proposal.examples]
    also = f"  also written {', '.join(proposal.also)}" if proposal.also else ""
    what = (f"{proposal.term}: {proposal.asks}", also, f"  {proposal.why}", f"  {', '.join(measures)}")
    return "\n".join(filter(None, what)), "\n".join(places)
