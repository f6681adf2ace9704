"""`fightnotes find`."""

from __future__ import annotations

import datetime
from enum import StrEnum
from typing import TYPE_CHECKING, Annotated

import typer

from fightnotes.cli.options import LibraryOption, library_root
from fightnotes.cli.output import print_csv, print_json, print_table, say

if TYPE_CHECKING:
    from fightnotes.search.find import Found
    from fightnotes.search.hit import Hit

HELP = "Find moments by meaning and words, across all bouts."


class FindFormat(StrEnum):
    TABLE = "table"
    JSON = "json"
    CSV = "csv"
    TIMESTAMPS = "timestamps"


class CornerChoice(StrEnum):
    RED = "red"
    BLUE = "blue"


class PairingChoice(StrEnum):
    OPEN = "open"
    CLOSED = "closed"
    UNKNOWN = "unknown"


class SourceChoice(StrEnum):
    NOTES = "notes"
    TRANSCRIPTS = "transcripts"


Many = list[str] | None


def run(
    query: Annotated[str, typer.Argument(help='What happened, in your words. "Quoted words" must be there.')] = "",
    library: LibraryOption = None,
    by: Annotated[Many, typer.Option(help="The fighter who acts, by any form of the name.")] = None,
    on: Annotated[Many, typer.Option(help="The fighter who is acted on.")] = None,
    fighter: Annotated[Many, typer.Option(help="The fighter who does either.")] = None,
    corner: Annotated[CornerChoice | None, typer.Option(help="The corner of the fighter who acts.")] = None,
    pairing: Annotated[PairingChoice | None, typer.Option(help="The pairing of the stances.")] = None,
    tag: Annotated[Many, typer.Option(help="A concept or one of its labels, with its narrower ones.")] = None,
    alone: Annotated[bool, typer.Option("--alone", help="Take --tag without narrower concepts.")] = False,
    outcome: Annotated[Many, typer.Option(help="landed, blocked, missed, ignored, ...")] = None,
    target: Annotated[Many, typer.Option(help="head, body, arms or legs.")] = None,
    rounds: Annotated[str, typer.Option("--round", help="A round, such as 3, or several, such as 1-4.")] = "",
    bout: Annotated[Many, typer.Option(help="The bout's id.")] = None,
    analyst: Annotated[Many, typer.Option(help="Who noted it.")] = None,
    since: Annotated[datetime.datetime | None, typer.Option(formats=["%Y-%m-%d"], help="First day.")] = None,
    until: Annotated[datetime.datetime | None, typer.Option(formats=["%Y-%m-%d"], help="Last day.")] = None,
    source: Annotated[SourceChoice | None, typer.Option("--in", help="Look in notes or in transcripts only.")] = None,
    limit: Annotated[int, typer.Option(min=1, help="The most moments to print.")] = 20,
    spread: Annotated[bool, typer.Option("--spread", help="Prefer many bouts to many moments of one.")] = False,
    format: Annotated[FindFormat, typer.Option(help="How to print the result.")] = FindFormat.TABLE,
) -> None:
    from fightnotes.library import open_library
    from fightnotes.search.filters import Filters

    filters = Filters(
        by=tuple(by or ()),
        on=tuple(on or ()),
        fighter=tuple(fighter or ()),
        corner=corner.value if corner else None,
        pairing=pairing.value if pairing else None,
        tags=tuple(tag or ()),
        alone=alone,
        outcome=tuple(outcome or ()),
        target=tuple(target or ()),
        rounds=read_rounds(rounds),
        bout=tuple(bout or ()),
        analyst=tuple(analyst or ()),
        since=since.date() if since else None,
        until=until.date() if until else None,
        kind=None if source is None else ("note" if source is SourceChoice.NOTES else "transcript"),
    )
    opened = open_library(library_root(library))
    found = opened.find(query, filters, limit=limit, spread=spread)
    changed = opened.store.changed_files()
    _print(found, format)
    for notice in found.notices:
        say(notice)
    if changed:
        say(f"{len(changed)} files changed since the last build: run `fightnotes build`")


def read_rounds(text: str) -> tuple[int, int] | None:
    """`3` or `1-4`. Raises typer.BadParameter."""
    if not text:
        return None
    first, _, last = text.partition("-")
    if not first.isdecimal() or not (last or first).isdecimal() or int(last or first) < int(first):
        raise typer.BadParameter("a round, such as 3, or several, such as 1-4", param_hint="--round")
    return int(first), int(last or first)


_COLUMNS = (
    "bout", "file", "line", "start", "end", "timed_on", "round", "round_clock", "text", "tags", "by", "on",
    "outcome", "target", "analyst", "score", "link",
)  # fmt: skip


def _print(found: Found, format: FindFormat) -> None:
    hits = found.hits
    if format is FindFormat.JSON:
        print_json({"query": found.query.text, "hits": [hit.as_json() for hit in hits], "notices": found.notices})
    elif format is FindFormat.CSV:
        rows = [[hit.as_json()[column] for column in _COLUMNS] + [str(hit.why)] for hit in hits]
        print_csv((*_COLUMNS, "why"), rows)
    elif format is FindFormat.TIMESTAMPS:
        _print_timestamps(hits)
    elif hits:
        print_table(("moment", "note", "why"), [_row(hit) for hit in hits], wide=1)


def _row(hit: Hit) -> tuple[str, str, str]:
    recording = f" of {hit.timed_on}" if hit.timed_on != "footage" else ""
    moment = [hit.bout, hit.where_in_bout, f"{hit.media_time}{recording}" if hit.media_time else ""]
    if hit.file and not hit.where_in_bout and not hit.media_time:
        moment.append("untimed")
    marks = [
        *(f"#{tag}" for tag in hit.tags),
        *(f"by:{who}" for who in hit.by),
        *(f"outcome:{how}" for how in hit.outcome),
    ]
    also = [f"also {place.file}:{place.line}" for place in hit.same_moment]
    note = [" ".join(hit.text.split()), " ".join(marks), f"{hit.file}:{hit.line}", *also]
    return "\n".join(filter(None, moment)), "\n".join(filter(None, note)), str(hit.why).replace("; ", "\n")


def _print_timestamps(hits: tuple[Hit, ...]) -> None:
    from fightnotes.search.hit import timestamp_line

    for bout in dict.fromkeys(hit.bout for hit in hits):
        mine = [hit for hit in hits if hit.bout == bout]
        print(mine[0].title)
        for hit in sorted(mine, key=lambda hit: (hit.timed_on, hit.start is None, hit.start or 0)):
            print(timestamp_line(hit))
        print()
