"""`fightnotes check`."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

import typer

from fightnotes.cli.layout import print_blocks, whole
from fightnotes.cli.options import FormatOption, LibraryOption, opened
from fightnotes.cli.output import print_result

if TYPE_CHECKING:
    from fightnotes.starting.overview import Group, Overview

HELP = "Say in a page what is understood of the library, what is left alone and why, and what to do next."
_COLUMNS = ("part", "what", "count", "first")
_MOST_NAMES = 12
_MOST_GROUPS = 10


def run(library: LibraryOption = None, format: FormatOption = "table") -> None:
    from fightnotes.cli.progress import TerminalProgress

    with TerminalProgress() as progress:
        overview = opened(library).check(progress)
    print_result(
        format,
        document=overview.model_dump(mode="json"),
        columns=_COLUMNS,
        rows=_rows(overview),
        table=lambda: print_blocks(_page(overview)),
    )
    if overview.unreadable:
        raise typer.Exit(1)


def _page(overview: Overview) -> list[list[str]]:
    """Blocks of lines, for `print_blocks`."""
    bouts, notes, tags, recordings = overview.bouts, overview.notes, overview.tags, overview.recordings
    lacking = _several(
        ("no date", bouts.without_date),
        ("not both fighters", bouts.without_fighters),
        ("no rounds", bouts.without_rounds),
        ("no bells", bouts.without_bells),
    )
    unknown = _some([f"#{group.what} {group.count}" for group in tags.unknown_names])
    analysts = ", ".join(f"{name or 'nobody named'} {count}" for name, count in notes.analysts.items())
    rows = (
        ("library", overview.title or "without a title"),
        ("bouts", f"{bouts.bouts}{lacking}"),
        ("fighters", f"{len(bouts.fighters)}{_some(bouts.fighters)}"),
        ("files", f"{notes.files} of notes and transcripts"),
        ("notes", f"{notes.timed} with a time, {notes.untimed} without; {notes.spoken} moments of speech"),
        ("placed", f"{notes.with_media_time} on a recording, {notes.in_rounds} in a round"),
        ("analysts", analysts or "none"),
        ("tags", f"{tags.known} in the vocabulary ({tags.concepts} concepts), {tags.unknown} not{unknown}"),
        ("untagged", f"{tags.untagged} of the notes with a time"),
        ("recordings", f"{recordings.found} found, {len(recordings.missing)} missing{_some(recordings.missing)}"),
        ("no footage", f"named for {recordings.bouts_without} of the bouts"),
    )
    steps = overview.next_steps or ("nothing: all is well",)
    return [
        *([f"{name:12}{text}"] for name, text in rows),
        *_listed("problems", overview.problems),
        *_listed("left alone", overview.left_alone),
        ["next", *steps],
    ]


def _several(*counts: tuple[str, int]) -> str:
    said = ", ".join(f"{what} {count}" for what, count in counts if count)
    return f" ({said})" if said else ""


def _some(names: Iterable[str]) -> str:
    """The first names in brackets."""
    all_names = tuple(names)
    more = ", ..." if len(all_names) > _MOST_NAMES else ""
    return f" ({', '.join(all_names[:_MOST_NAMES])}{more})" if all_names else ""


def _listed(title: str, groups: tuple[Group, ...]) -> list[list[str]]:
    if not groups:
        return [[f"{title}: none"]]
    blocks = [[f"{title}: {sum(group.count for group in groups)}"]]
    for group in groups[:_MOST_GROUPS]:
        more = ["..."] if group.count > len(group.first) else []
        blocks.append([f"  {group.count} {group.what}", *map(_first_whole, group.first), *more])
    rest = groups[_MOST_GROUPS:]
    if rest:
        blocks.append([f"  {sum(group.count for group in rest)} of {len(rest)} more kinds"])
    return blocks


def _first_whole(said: str) -> str:
    """A place, or a problem, which begins with its place."""
    place, found, more = said.partition(": found ")
    return whole(place) + found + more


def _rows(overview: Overview) -> Iterable[dict[str, object]]:
    """Every number of the overview, one a row."""
    for part in ("bouts", "notes", "tags", "recordings"):
        for what, value in getattr(overview, part).model_dump().items():
            if isinstance(value, int):
                yield {"part": part, "what": what, "count": value, "first": ""}
    for what in overview.bouts.fighters:
        yield {"part": "fighter", "what": what, "count": "", "first": ""}
    for what, count in overview.notes.analysts.items():
        yield {"part": "analyst", "what": what, "count": count, "first": ""}
    lists = (
        ("unknown tag", overview.tags.unknown_names),
        ("problem", overview.problems),
        ("left alone", overview.left_alone),
    )
    for part, groups in lists:
        for group in groups:
            yield {"part": part, "what": group.what, "count": group.count, "first": list(group.first)}
    for part, names in (("missing recording", overview.recordings.missing), ("next", overview.next_steps)):
        for name in names:
            yield {"part": part, "what": name, "count": "", "first": ""}
