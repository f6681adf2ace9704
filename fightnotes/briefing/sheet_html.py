"""A match sheet as HTML: one file that needs nothing else, and the body of it for a page that has its own frame."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

from fightnotes.briefing.numbers import FEWEST
from fightnotes.briefing.sheet import FighterSheet, MatchSheet
from fightnotes.briefing.sheet_page import NumberedSection, bout_said, numbered, rests_on
from fightnotes.pages.measured import Measured, bars_with_intervals, columns_with_intervals
from fightnotes.pages.page import document
from fightnotes.pages.templating import templates
from fightnotes.tally.so_many import so_many

_MOST_BARS = 8
_TEMPLATES = templates(Path(__file__).parent / "templates")

MomentHref = Callable[[str], str | None]
"""The address of a moment by its place, `file:line`; None where it has no page."""


@dataclass(frozen=True)
class FighterShown:
    name: str
    rests_on: str
    bouts: tuple[str, ...]
    pictures: tuple[tuple[str, str], ...]
    """Caption and drawing."""
    sections: tuple[NumberedSection, ...]


def sheet_html(sheet: MatchSheet) -> str:
    """A whole HTML document, for a reader who has neither the program nor the library."""
    return document(sheet.title, sheet_body(sheet), sheet.cautions)


def sheet_body(sheet: MatchSheet, href: MomentHref = lambda _: None) -> str:
    """The sheet without a frame around it, without title and cautions, with headings from the second level on."""
    sections, moments = numbered(sheet)
    fighters = [
        FighterShown(
            fighter.name, rests_on(fighter), tuple(map(bout_said, fighter.bouts)), tuple(_pictures(fighter)), of_fighter
        )
        for fighter, of_fighter in zip(sheet.fighters, sections, strict=True)
    ]
    return _TEMPLATES.get_template("sheet_body.html").render(
        sheet=sheet, fighters=fighters, moments=moments, fewest=FEWEST, href=href
    )


def _pictures(fighter: FighterSheet) -> Iterator[tuple[str, str]]:
    habits = next((one for one in fighter.sections if one.title == "Habits"), None)
    rated = [
        Measured(line.called, rate.value, rate.low, rate.high, so_many(line.figures.count, "act"))
        for line in (habits.lines if habits else ())
        if line.figures and (rate := line.figures.per_round)
    ]
    rounds = [
        Measured(f"R{number}", rate.value, rate.low, rate.high, str(figures.count))
        for number, figures in fighter.by_round
        if (rate := figures.per_round)
    ]
    if rated:
        title = f"Habits of {fighter.name}"
        yield title, bars_with_intervals(rated[:_MOST_BARS], title, "acts a noted round")
    if rounds:
        title = f"All acts of {fighter.name} by round"
        yield title, columns_with_intervals(rounds, title, "acts a noted round")
