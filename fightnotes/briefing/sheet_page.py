"""A match sheet in words: its lines with the numbers of their moments, and Markdown."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from fightnotes.briefing.answer_page import numbered_moments
from fightnotes.briefing.cited import Cited, Numbering
from fightnotes.briefing.numbers import FEWEST
from fightnotes.briefing.sheet import BoutStudied, FighterSheet, MatchSheet
from fightnotes.briefing.sheet_lines import Section, SheetLine
from fightnotes.model.pasting import literal
from fightnotes.search.hit import Hit


@dataclass(frozen=True)
class NumberedLine:
    line: SheetLine
    cited: Cited


@dataclass(frozen=True)
class NumberedSection:
    section: Section
    lines: tuple[NumberedLine, ...]
    few: tuple[NumberedLine, ...]


def numbered(sheet: MatchSheet) -> tuple[tuple[tuple[NumberedSection, ...], ...], tuple[Hit, ...]]:
    """The sections of both fighters with the numbers of their moments, and these moments, from 1 on."""
    numbering = Numbering()

    def lines(some: Sequence[SheetLine]) -> tuple[NumberedLine, ...]:
        return tuple(NumberedLine(line, numbering.name(line.moments)) for line in some)

    sections = tuple(
        tuple(NumberedSection(one, lines(one.lines), lines(one.few)) for one in fighter.sections)
        for fighter in sheet.fighters
    )
    return sections, tuple(numbering.moments)


def rests_on(fighter: FighterSheet) -> str:
    """What the sheet knows of a fighter, in a line."""
    return f"{fighter.stance or 'stance not given'}; {fighter.coverage}"


def bout_said(bout: BoutStudied) -> str:
    day = f", {bout.date.isoformat()}" if bout.date else ""
    met = ", against each other" if bout.together else ""
    return f"{bout.title}{day}{met}: {bout.coverage.noted} of {bout.coverage.rounds} rounds noted"


def few_said(section: NumberedSection) -> str:
    """What there is of which too little is noted; nothing where there is nothing."""
    told = (f"{one.line.called} {one.line.says[0]} {one.cited}".rstrip() for one in section.few)
    return f"Too few notes (under {FEWEST}): {'; '.join(told)}" if section.few else ""


@dataclass(frozen=True)
class SheetTable:
    title: str
    about: str
    rows: tuple[tuple[str, str, str], ...]
    """What is counted, what is said of it, and the numbers of its moments."""
    below: tuple[str, ...]
    """Of what too little is noted, and why nothing is said."""


@dataclass(frozen=True)
class SheetPage:
    title: str
    below: tuple[str, ...]
    """What it rests on."""
    sections: tuple[SheetTable, ...]


def in_lines(sheet: MatchSheet) -> tuple[tuple[SheetPage, ...], tuple[Hit, ...]]:
    """A sheet in words, a page for each fighter, and the moments that its numbers name, from 1 on."""
    sections, moments = numbered(sheet)
    pages = tuple(
        SheetPage(
            fighter.name,
            (rests_on(fighter), *map(bout_said, fighter.bouts)),
            tuple(
                SheetTable(
                    one.section.title,
                    one.section.about,
                    tuple((each.line.called, "; ".join(each.line.says), str(each.cited)) for each in one.lines),
                    tuple(filter(None, (few_said(one), one.section.unsaid))),
                )
                for one in of_fighter
            ),
        )
        for fighter, of_fighter in zip(sheet.fighters, sections, strict=True)
    )
    return pages, moments


def sheet_markdown(sheet: MatchSheet) -> Iterator[str]:
    """The lines of a sheet in CommonMark."""
    sections, moments = numbered(sheet)
    yield f"# {literal(sheet.title)}"
    for fighter, of_fighter in zip(sheet.fighters, sections, strict=True):
        yield from ("", f"## {literal(fighter.name)}", "", literal(rests_on(fighter)), "")
        yield from (f"- {literal(bout_said(bout))}" for bout in fighter.bouts)
        for one in of_fighter:
            yield from ("", f"### {literal(one.section.title)}", "", f"*{literal(one.section.about)}*", "")
            for each in one.lines:
                told = literal(f"{each.line.called}: {'; '.join(each.line.says)} {each.cited}".rstrip())
                yield f"- {told}"
            if one.lines and one.few:
                yield ""
            yield from (literal(text) for text in (few_said(one), one.section.unsaid) if text)
    yield from ("", "## Moments", "")
    yield from numbered_moments(moments)
    yield ""
    yield from (f"- {literal(text)}" for text in sheet.notices)
    yield from ("", f"<sub>{' '.join(map(literal, sheet.cautions))}</sub>")
