"""A number of a tally opened: the moments behind it."""

from __future__ import annotations

from collections.abc import Sequence

from fightnotes.errors import UsageError
from fightnotes.index.store import Store
from fightnotes.model import fold, unknown_name
from fightnotes.search.hit import Hit
from fightnotes.search.people import fighters_by_form
from fightnotes.tally.compare import SideBySide, SideName
from fightnotes.tally.dimensions import EVERY, Dimension, Every, Value
from fightnotes.tally.moments import hits_of
from fightnotes.tally.tally import Tally


def moments_of(store: Store, counted: Tally, row: str | None, column: str | None) -> tuple[Hit, ...]:
    """Of a row, a column or where they cross. Raises UnknownName for a value that the tally has not."""
    if column is not None and counted.columns is None:
        raise UsageError("the tally has no columns to open")
    at: list[Value | Every] = [EVERY, EVERY]
    if row is not None:
        at[0] = _value(store, counted.rows, counted.row_values, row)
    if column is not None and counted.columns:
        at[1] = _value(store, counted.columns, counted.column_values, column)
    return hits_of(counted.acts(at[0], at[1]), store.bouts)


def compared_moments_of(store: Store, compared: SideBySide, concept: str, side: SideName) -> tuple[Hit, ...]:
    """Of a concept, or of all, on one side of a comparison. Raises UnknownName for one that it has not."""
    by_form = {fold(each.called): each for each in compared.concepts}
    if fold(concept) not in by_form:
        raise unknown_name("concept", concept, by_form)
    each = by_form[fold(concept)]
    return hits_of((each.first if side == "first" else each.second).acts, store.bouts)


def _value(store: Store, dimension: Dimension, values: Sequence[Value], written: str) -> Value:
    by_form = {fold(dimension.shown(value)): value for value in values}
    forms = (fold(written), *_meant(store, dimension, written))
    for form in forms:
        if form in by_form:
            return by_form[form]
    raise unknown_name(dimension.name, written, by_form)


def _meant(store: Store, dimension: Dimension, written: str) -> list[str]:
    """What a label or a form of a name stands for, folded."""
    if dimension.name in ("fighter", "opponent"):
        return [fold(fighter) for fighter in fighters_by_form(store).get(fold(written), ())]
    concept = store.vocabulary.resolve(written.removeprefix("#")) if dimension.name == "concept" else None
    return [fold(concept or written.removeprefix("#"))]
