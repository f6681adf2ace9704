"""Tallies and chains as pictures."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from fightnotes.model import Vocabulary
from fightnotes.pages.drawing import stacked, with_words
from fightnotes.pages.measured import Measured, bars_with_intervals, columns_with_intervals, top_of
from fightnotes.pages.plots import grid
from fightnotes.tally.bout_timeline import BoutTimeline
from fightnotes.tally.chains import Sequences
from fightnotes.tally.dimensions import EVERY, Dimension, Every, Value
from fightnotes.tally.figures import Figures
from fightnotes.tally.filters_said import filters_said
from fightnotes.tally.so_many import so_many
from fightnotes.tally.tally import Tally

Shown = Literal["acts", "per-round", "per-minute", "success"]
"""Acts are drawn as acts a round, where it is known how long was looked at."""

_MOST_BARS = 24
_MOST_CHARTS = 8
_MOST_IN_GRID = 12
_MOST_FOLLOWING = 8
"""Concepts of a matrix that a telephone shows."""
_UNITS = {
    "per-round": "acts a round",
    "per-minute": "acts a minute",
    "success": "% of acts with an outcome that succeeded",
}
_UNNOTED = "– stands where nothing is known: nobody noted it, no outcome is written, or there is no rate"
_SAID = "the thin lines are 95 % intervals"


def picture_of(drawn: Tally | Sequences | BoutTimeline, vocabulary: Vocabulary, show: Shown = "acts") -> str:
    """SVG, with a title and with what was looked at, to be read alone; `show` is what of a tally."""
    if isinstance(drawn, BoutTimeline):
        return drawn.picture(vocabulary)
    svg, reading = _drawn(drawn, vocabulary, show)
    if isinstance(drawn, Tally):
        filters, notices = drawn.basis.filters, drawn.notices
    else:
        filters, notices = drawn.filters, drawn.basis_notices
    return with_words(svg, [*reading, *filters_said(filters, ()), str(drawn.basis.coverage), *notices])


def picture_on_page(drawn: Tally | Sequences, vocabulary: Vocabulary, show: Shown = "acts") -> str:
    """SVG, with a title and with how it is to be read, for a page that says what was looked at."""
    return with_words(*_drawn(drawn, vocabulary, show))


def _drawn(drawn: Tally | Sequences, vocabulary: Vocabulary, show: Shown) -> tuple[str, list[str]]:
    """A drawing, and how it is to be read."""
    return _of_tally(drawn, show, vocabulary) if isinstance(drawn, Tally) else _of_chains(drawn, vocabulary)


def _of_tally(counted: Tally, show: Shown, vocabulary: Vocabulary) -> tuple[str, list[str]]:
    """Bars; columns where the values stand in an order, a chart for each value of the other dimension; a grid of counts
    where none does."""
    by_row, by_column = counted.rows, counted.columns
    rated = counted.basis.rated and by_row.rated and (by_column is None or by_column.rated)
    measure = show if show != "acts" else "per-round" if rated else "acts"
    unit = _UNITS.get(measure, "acts")
    nothing = [] if counted.acts() else ["nothing was counted"]
    if by_column is None and by_row.level is None:
        rows = counted.row_values[:_MOST_BARS]
        bars = [_measured(_called(by_row, row, vocabulary), counted.figures(row), measure) for row in rows]
        title = f"{unit} by {by_row.name}"
        return bars_with_intervals(bars, title, unit), [*nothing, _SAID, *_left_out(counted.row_values, rows)]
    if by_row.level is None and (by_column is None or by_column.level is None):
        return _grid(counted, vocabulary), nothing
    over = counted.over
    across = counted.across
    values: Sequence[Value | Every] = (EVERY,)
    if across is not None:
        values = counted.row_values if across is by_row else counted.column_values
    series = [
        (_called(across, value, vocabulary) if across else "", _over(counted, over, value, measure))
        for value in values[:_MOST_CHARTS]
    ]
    items = [one for _, some in series for one in some]
    title = f"{unit} by {by_row.name}{f' and {by_column.name}' if by_column else ''}"
    charts = [(name, columns_with_intervals(some, title, unit, top_of(items))) for name, some in series]
    unnoted = [_UNNOTED] if any(one.value is None for one in items) else []
    return stacked(charts, title), [*nothing, _SAID, *unnoted, *_left_out(values, charts)]


def _left_out(all: Sequence[object], shown: Sequence[object]) -> list[str]:
    return [f"the {len(shown)} commonest of {len(all)}"] if len(shown) < len(all) else []


def _called(dimension: Dimension, value: Value | Every, vocabulary: Vocabulary) -> str:
    if dimension.name == "concept" and isinstance(value, str):
        return vocabulary.called(value)
    return dimension.shown(value)


def _measured(label: str, figures: Figures, measure: str) -> Measured:
    if measure == "success":
        return _successes(label, figures)
    if measure == "acts":
        return Measured(label, figures.count if figures.count or figures.looked_for else None, None, None)
    rate = figures.per_round if measure == "per-round" else figures.per_minute
    seen = figures.seen
    if rate is None or seen is None:
        return Measured(label, None, None, None, "" if seen and not seen.rounds else "no rate known")
    if measure == "per-round":
        return Measured(
            label, rate.value, rate.low, rate.high, f"{figures.in_rounds} in {so_many(seen.rounds, 'round')}"
        )
    return Measured(label, rate.value, rate.low, rate.high, f"{figures.in_minutes} in {seen.minutes:.0f} min")


def _successes(label: str, figures: Figures) -> Measured:
    share = figures.success
    if share is None:
        return Measured(label, None, None, None, "no outcome written" if figures.count else "")
    note = f"{figures.succeeded} of {figures.with_outcome}"
    return Measured(label, 100 * share.value, 100 * share.low, 100 * share.high, note)


def _over(counted: Tally, over: Dimension, value: Value | Every, measure: str) -> list[Measured]:
    levels = counted.row_values if over is counted.rows else counted.column_values
    items = []
    for level in _every_level(counted, over, [one for one in levels if one is not None]):
        figures = counted.figures(level, value) if over is counted.rows else counted.figures(value, level)
        items.append(_measured(over.shown(level), figures, measure))
    return items


def _every_level(counted: Tally, over: Dimension, levels: list[Value]) -> Sequence[Value]:
    """Of rounds also those that nobody noted."""
    if over.name != "round":
        return levels
    first = (counted.basis.filters.rounds or (1, 1))[0]
    held = max(counted.basis.rounds.held.values(), default=0)
    return range(first, max([first + held - 1, *(int(str(level)) for level in levels)]) + 1)


def _grid(counted: Tally, vocabulary: Vocabulary) -> str:
    rows, columns = counted.row_values[:_MOST_IN_GRID], counted.column_values[:_MOST_IN_GRID]
    by_row, by_column = counted.rows, counted.columns
    assert by_column is not None
    return grid(
        [_called(by_row, row, vocabulary) for row in rows],
        [_called(by_column, column, vocabulary) for column in columns],
        [[counted.figures(row, column).count for column in columns] for row in rows],
        f"acts by {by_row.name} and {by_column.name}",
    )


def _of_chains(found: Sequences, vocabulary: Vocabulary) -> tuple[str, list[str]]:
    """What follows what: in the row of a concept how many of its acts each of the others follows."""
    names, counts = found.table(_MOST_FOLLOWING)
    labels = [vocabulary.called(name) for name in names]
    by_whom = {"either": "by whomever", "same": "by the same fighter", "other": "by the other fighter"}[found.who]
    title = f"What follows within {found.within:g} s {by_whom}"
    reading = "in the row of a concept: how many of its acts are followed by one of the concept above"
    return grid(labels, labels, counts, title, " → "), [reading if names else "nothing to draw"]
