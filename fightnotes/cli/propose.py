"""`fightnotes propose`."""

from __future__ import annotations

from enum import StrEnum
from typing import TYPE_CHECKING, Annotated

import typer

from fightnotes.cli.changes import ChangeFormat, DryRunOption, carry_out
from fightnotes.cli.options import Format, FormatOption, LibraryOption, library_root
from fightnotes.cli.output import print_csv, print_json, print_table, say

if TYPE_CHECKING:
    from fightnotes.proposing.proposal import Proposal

HELP = "Propose terms for the vocabulary that the notes and transcripts use and no label covers."


class KindChoice(StrEnum):
    CONCEPT = "concept"
    LABEL = "label"
    MISHEARD = "misheard"


def run(
    library: LibraryOption = None,
    limit: Annotated[int, typer.Option(min=1, help="The most proposals to print.")] = 20,
    apply: Annotated[
        str | None, typer.Option(metavar="TERM", help="Write the proposal for this term into vocabulary.yaml.")
    ] = None,
    kind: Annotated[
        KindChoice | None, typer.Option("--as", help="Apply it as this, in place of what is proposed.")
    ] = None,
    of: Annotated[
        str | None,
        typer.Option(metavar="ID", help="The concept that it is a label of, or that the new one stands under."),
    ] = None,
    reject: Annotated[str | None, typer.Option(metavar="TERM", help="Never propose this term again.")] = None,
    dry_run: DryRunOption = False,
    format: FormatOption = Format.TABLE,
) -> None:
    from fightnotes.library import open_library
    from fightnotes.proposing.propose import proposal_of

    if (apply and reject) or ((kind or of or dry_run) and not apply):
        raise typer.BadParameter("--as, --of and --dry-run go with --apply, and --reject goes alone")
    opened = open_library(library_root(library))
    if reject:
        opened.reject_term(proposal_of(opened.propose(limit=None), reject).term)
        say(f"'{reject}' is not proposed again: rejected-terms.yaml says so")
    elif apply:
        from fightnotes.vocabulary.proposal_edit import plan_proposal

        proposal = proposal_of(opened.propose(limit=None), apply)
        plan = plan_proposal(opened.text(), proposal, kind.value if kind else None, of)
        carry_out(opened, plan, dry_run, ChangeFormat.JSON if format is Format.JSON else ChangeFormat.DIFF)
    else:
        _print(opened.propose(limit), format)


_COLUMNS = (
    "term", "kind", "concept", "trade_word", "uses", "segments", "c_value", "tightness", "near", "weight", "why",
)  # fmt: skip


def _print(proposals: tuple[Proposal, ...], format: Format) -> None:
    if format is Format.JSON:
        print_json({"proposals": [proposal.as_json() for proposal in proposals]})
    elif format is Format.CSV:
        rows = []
        for proposal in proposals:
            plain = proposal.as_json()
            places = "; ".join(f"{each.file}:{each.line} {each.bout} {each.moment}" for each in proposal.examples)
            rows.append([*(plain[column] for column in _COLUMNS), places])
        print_csv((*_COLUMNS, "examples"), rows)
    elif proposals:
        print_table(("proposal", "where"), [_row(proposal) for proposal in proposals], wide=0)
    else:
        say("no term to propose")


def _row(proposal: Proposal) -> tuple[str, str]:
    measures = [f"{proposal.uses} times"]
    if proposal.c_value is not None and proposal.tightness is not None:
        measures += [f"C-value {proposal.c_value:.1f}", f"tightness {proposal.tightness:.2f}"]
    places = [f"{each.bout} {each.moment}\n  {each.file}:{each.line}" for each in proposal.examples]
    return f"{proposal.term}: {proposal.asks}\n  {proposal.why}\n  {', '.join(measures)}", "\n".join(places)
