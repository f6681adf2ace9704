"""A match sheet on paper: Markdown, and one HTML file that needs nothing else."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from fightnotes.briefing.answer_page import numbered_moments
from fightnotes.briefing.cited import MOST_CITED, Numbering, cited, in_runs
from fightnotes.briefing.numbers import FEWEST, so_many
from fightnotes.briefing.sheet import BoutStudied, FighterSheet, MatchSheet
from fightnotes.briefing.sheet_lines import Section, SheetLine
from fightnotes.model.pasting import literal
from fightnotes.pages.measured import Measured, bars_with_intervals, columns_with_intervals
from fightnotes.pages.page import document, escape
from fightnotes.search.hit import Hit

_STYLE = """
.about { margin: .2rem 0 .4rem; color: var(--pale); font-size: .9rem; } dl { margin: 0; }
dt { font-weight: bold; margin-top: .5rem; break-after: avoid; } dd { margin: 0 0 0 1rem; }
.cites { font: .85rem monospace; } .pictures { display: flex; flex-wrap: wrap; gap: 1rem 1.6rem; }
ol.moments { padding-left: 2.2rem; font-size: .9rem; } ol.moments li { break-inside: avoid; margin: .3rem 0; }
"""
_MOST_BARS = 8


@dataclass(frozen=True)
class NumberedLine:
    line: SheetLine
    numbers: tuple[int, ...]

    @property
    def cites(self) -> str:
        """`[1-3, 7]`; nothing where there is no moment."""
        return cited(self.numbers, len(self.line.moments)) if self.numbers else ""


@dataclass(frozen=True)
class NumberedSection:
    section: Section
    lines: tuple[NumberedLine, ...]
    few: tuple[NumberedLine, ...]


def numbered(sheet: MatchSheet) -> tuple[tuple[tuple[NumberedSection, ...], ...], tuple[Hit, ...]]:
    """The sections of both fighters with the numbers of their moments, and these moments, from 1 on."""
    numbering = Numbering()

    def lines(some: Sequence[SheetLine]) -> tuple[NumberedLine, ...]:
        return tuple(NumberedLine(line, tuple(numbering.name(line.moments))) for line in some)

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
    told = (f"{one.line.called} {one.line.says[0]} {one.cites}".rstrip() for one in section.few)
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
                    tuple((each.line.called, "; ".join(each.line.says), each.cites) for each in one.lines),
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
                told = literal(f"{each.line.called}: {'; '.join(each.line.says)} {each.cites}".rstrip())
                yield f"- {told}"
            if one.lines and one.few:
                yield ""
            yield from (literal(text) for text in (few_said(one), one.section.unsaid) if text)
    yield from ("", "## Moments", "")
    yield from numbered_moments(moments)
    yield ""
    yield from (f"- {literal(text)}" for text in sheet.notices)
    yield from ("", f"<sub>{' '.join(map(literal, sheet.cautions))}</sub>")


def sheet_html(sheet: MatchSheet) -> str:
    """A whole HTML document, for a reader who has neither the program nor the library."""
    sections, moments = numbered(sheet)
    parts = [f"<h1>{escape(sheet.title)}</h1>"]
    for fighter, of_fighter in zip(sheet.fighters, sections, strict=True):
        parts += _fighter(fighter, of_fighter)
    parts += ["<h2>Moments</h2>", '<ol class="moments">']
    parts += [f'<li id="m{number}">{_moment(hit)}</li>' for number, hit in enumerate(moments, start=1)]
    parts += ["</ol>", "<h2>How to read it</h2>", "<ul>"]
    parts += [f"<li>{escape(text)}</li>" for text in sheet.notices]
    parts += ["</ul>", f"<p><small>{escape(' '.join(sheet.cautions))}</small></p>"]
    return document(sheet.title, parts, _STYLE)


def _fighter(fighter: FighterSheet, sections: Sequence[NumberedSection]) -> Iterator[str]:
    yield f"<h2>{escape(fighter.name)}</h2><p>{escape(rests_on(fighter))}</p><ul>"
    yield from (f"<li>{escape(bout_said(bout))}</li>" for bout in fighter.bouts)
    yield f"</ul>{_pictures(fighter)}"
    for one in sections:
        yield f'<section><h3>{escape(one.section.title)}</h3><p class="about">{escape(one.section.about)}</p>'
        if one.lines:
            told = (f"<dt>{escape(each.line.called)}</dt><dd>{_says(each)}</dd>" for each in one.lines)
            yield f"<dl>{''.join(told)}</dl>"
        if one.few:
            few = "; ".join(f"{escape(f'{each.line.called} {each.line.says[0]}')} {_links(each)}" for each in one.few)
            yield f"<p><small>Too few notes (under {FEWEST}): {few}</small></p>"
        if one.section.unsaid:
            yield f"<p>{escape(one.section.unsaid)}</p>"
        yield "</section>"


def _says(each: NumberedLine) -> str:
    said = escape("; ".join(each.line.says)).replace(" %", "\N{NO-BREAK SPACE}%")
    return f"{said} {_links(each)}"


def _links(each: NumberedLine) -> str:
    if not each.numbers:
        return ""
    runs = (
        f'<a href="#m{first}">{first}</a>' + (f'-<a href="#m{last}">{last}</a>' if last != first else "")
        for first, last in in_runs(each.numbers)
    )
    of = len(each.line.moments)
    more = f" of {of}" if of > MOST_CITED else ""
    return f'<span class="cites">[{", ".join(runs)}{more}]</span>'


def _moment(hit: Hit) -> str:
    day = hit.bout.date.isoformat() if hit.bout.date else ""
    where = ", ".join(filter(None, (hit.bout.title, day, hit.where_in_bout)))
    time = escape(hit.media_time) if hit.media_time else ""
    linked = f'<a href="{escape(hit.link)}">{time}</a>' if hit.link and time else time
    parts = filter(None, (escape(where), linked, f'<span class="place">{escape(hit.place)}</span>'))
    return f'<span dir="auto">“{escape(hit.quoted)}”</span><br>{", ".join(parts)}'


def _pictures(fighter: FighterSheet) -> str:
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
    drawn = []
    if rated:
        title = f"Habits of {fighter.name}"
        drawn.append((title, bars_with_intervals(rated[:_MOST_BARS], title, "acts a noted round")))
    if rounds:
        title = f"All acts of {fighter.name} by round"
        drawn.append((title, columns_with_intervals(rounds, title, "acts a noted round")))
    figures = (f"<figure>{svg}<figcaption>{escape(title)}</figcaption></figure>" for title, svg in drawn)
    return f'<div class="pictures">{"".join(figures)}</div>' if drawn else ""
