"""The main job: acts counted by one dimension or two, in a table whose every number opens into its moments."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sized
from dataclasses import dataclass, field, replace
from itertools import product
from typing import Any

from fightnotes.errors import UsageError
from fightnotes.index.store import Store
from fightnotes.search.filters import Filters
from fightnotes.tally.acts import CountedAct
from fightnotes.tally.basis import Basis, basis_of, counts_for
from fightnotes.tally.coverage import NotedRound
from fightnotes.tally.dimensions import DIMENSIONS, EVERY, Dimension, DimensionName, Every, Value, in_order
from fightnotes.tally.figures import Figures, Seen, figures_of, seen_in
from fightnotes.tally.moments import act_as_json
from fightnotes.tally.value_trend import Measure, ValueTrend, trends_of

Key = tuple[Value | Every, Value | Every]
"""Of a row and a column."""


@dataclass(frozen=True)
class Tally:
    rows: Dimension
    columns: Dimension | None
    row_values: tuple[Value, ...]
    """In the order in which they stand."""
    column_values: tuple[Value, ...]
    """None where there is one dimension alone."""
    basis: Basis
    grid: Mapping[Key, tuple[CountedAct, ...]] = field(repr=False)
    """What was counted; a key without acts is not in it."""
    looked_at: Mapping[Key, Seen] = field(repr=False)
    """A dimension of which any value may be noted in any round stands with EVERY."""
    trends: tuple[ValueTrend, ...] = ()

    def figures(self, row: Value | Every = EVERY, column: Value | Every = EVERY) -> Figures:
        """Of a row and a column. With EVERY each act is one, also where it counts for several values."""
        return figures_of(self.acts(row, column), self.basis.noted, self._seen(row, column))

    def acts(self, row: Value | Every = EVERY, column: Value | Every = EVERY) -> tuple[CountedAct, ...]:
        return self.grid.get((row, column), ())

    def _seen(self, row: Value | Every, column: Value | Every) -> Seen | None:
        unrated = (each for each, value in ((self.rows, row), (self.columns, column)) if value is not EVERY)
        if not self.basis.rated or any(each and not each.rated for each in unrated):
            return None
        return self.looked_at.get((_looked_for(self.rows, row), _looked_for(self.columns, column)), Seen())

    @property
    def notices(self) -> tuple[str, ...]:
        """What a reader of the numbers has to know."""
        notices = list(self.basis.notices(self.basis.acts))
        unrated = [each.name for each in (self.rows, self.columns) if each and not each.rated]
        if unrated:
            notices.append(f"no rates by {' and '.join(unrated)}: how long each was held is not counted")
        return tuple(notices)

    def lines(self) -> Iterator[tuple[str, tuple[Figures, ...]]]:
        """The table, line by line: what a row is called, and its figures in each column, and in all. The last is of all
        rows."""
        for row in (*self.row_values, EVERY):
            yield self.rows.shown(row), tuple(self.figures(row, column) for column in (*self.column_values, EVERY))

    @property
    def column_names(self) -> tuple[str, ...]:
        """What stands above `lines`."""
        names = (self.columns.shown(value) for value in self.column_values) if self.columns else ()
        return *names, EVERY.value

    @property
    def over(self) -> Dimension:
        """What stands in an order: what a trend goes over. UsageError where nothing does."""
        for dimension in (self.columns, self.rows):
            if dimension and dimension.level:
                return dimension
        raise UsageError("a trend goes over rounds, days, months or years: give one as rows or columns")

    @property
    def across(self) -> Dimension | None:
        """The other one, each value of which has a trend; None where there is none."""
        return self.rows if self.over is self.columns else self.columns

    def as_json(self) -> dict[str, Any]:
        """Plain values; what nothing says, and what nothing bounds, is None."""
        bouts = self.basis.bouts
        told = {id(act): act_as_json(act, bouts[act.bout]) for act in self.acts()}

        def cell(row: Value, column: Value | Every) -> dict[str, Any]:
            acts = [told[id(act)] for act in self.acts(row, column)]
            where = {"row": row} if column is EVERY else {"row": row, "column": column}
            return {**where, **self.figures(row, column).as_json(), "acts": acts}

        crossed = self.columns is not None
        columns = self.column_values if crossed else (EVERY,)
        return {
            "rows": self.rows.name,
            "columns": self.columns.name if self.columns else None,
            "inferred": self.basis.inferred,
            "coverage": self.basis.coverage.model_dump(),
            "notices": list(self.notices),
            "cells": [cell(row, column) for row, column in product(self.row_values, columns)],
            "of_rows": [{"row": row, **self.figures(row).as_json()} for row in self.row_values if crossed],
            "of_columns": [{"column": one, **self.figures(EVERY, one).as_json()} for one in self.column_values],
            "all": self.figures().as_json(),
            "trends": [trend.as_json() for trend in self.trends],
        }


def tally(
    store: Store,
    rows: DimensionName,
    columns: DimensionName | None = None,
    filters: Filters = Filters(),  # noqa: B008  immutable
    *,
    inferred: bool = False,
    trend: Measure | None = None,
) -> Tally:
    """The acts that filters let through, counted by one dimension or two.

    `trend` asks how each value of the one goes over the other, which stands in an order. Raises UnknownName as `find`
    does, UsageError for a trend where none stands in an order, and for rows and columns that are the same.
    """
    if rows == columns:
        raise UsageError("rows and columns are the same")
    return tally_of(basis_of(store, filters, inferred=inferred), rows, columns, trend=trend)


def tally_of(
    basis: Basis, rows: DimensionName, columns: DimensionName | None = None, *, trend: Measure | None = None
) -> Tally:
    """The same of acts that are at hand: whoever counts them in several ways reads the library once."""
    by_row, by_column = DIMENSIONS[rows], DIMENSIONS[columns] if columns else None
    grid: dict[Key, list[CountedAct]] = defaultdict(list)
    for act in basis.acts:
        for key in product(counts_for(by_row, act, basis), counts_for(by_column, act, basis)):
            grid[key].append(act)
    looked_at = _looked_at(by_row, by_column, basis)
    counted = Tally(
        rows=by_row,
        columns=by_column,
        row_values=in_order(by_row, _row_totals(by_row, grid, looked_at)),
        column_values=in_order(by_column, _column_totals(by_column, grid, looked_at)) if by_column else (),
        basis=basis,
        grid={key: tuple(acts) for key, acts in grid.items()},
        looked_at=looked_at,
    )
    return replace(counted, trends=_trends(counted, trend)) if trend else counted


def _looked_for(dimension: Dimension | None, value: Value | Every) -> Value | Every:
    return EVERY if dimension is None or dimension.seen_in is None else value


def _looked_at(by_row: Dimension, by_column: Dimension | None, basis: Basis) -> dict[Key, Seen]:
    rounds: dict[Key, list[NotedRound]] = defaultdict(list)
    for noted in basis.noted.values():
        bout = basis.bouts[noted.bout]
        values = [each.seen_in(noted, bout) if each and each.seen_in else () for each in (by_row, by_column)]
        for key in product((*values[0], EVERY), (*values[1], EVERY)):
            rounds[key].append(noted)
    return {key: seen_in(some) for key, some in rounds.items()}


def _row_totals(dimension: Dimension, grid: Mapping[Key, Sized], looked_at: Mapping[Key, Seen]) -> dict[Value, int]:
    counts = {row: len(acts) for (row, column), acts in grid.items() if column is EVERY and not isinstance(row, Every)}
    seen = [row for row, column in looked_at if column is EVERY and not isinstance(row, Every)]
    return dict.fromkeys(seen if dimension.whole else (), 0) | counts


def _column_totals(dimension: Dimension, grid: Mapping[Key, Sized], looked_at: Mapping[Key, Seen]) -> dict[Value, int]:
    turned = {(column, row): acts for (row, column), acts in grid.items()}
    return _row_totals(dimension, turned, {(column, row): seen for (row, column), seen in looked_at.items()})


def _trends(counted: Tally, measure: Measure) -> tuple[ValueTrend, ...]:
    over, across = counted.over, counted.across
    if over is counted.columns:
        return trends_of({row: counted.acts(row) for row in counted.row_values}, across, over, counted.basis, measure)
    values: tuple[Value | Every, ...] = counted.column_values if across else (EVERY,)
    return trends_of({one: counted.acts(EVERY, one) for one in values}, across, over, counted.basis, measure)
