"""By what acts are counted: the values that an act has of each, and the order in which they stand."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from enum import Enum
from typing import Literal

from fightnotes.model import Bout
from fightnotes.tally.acts import CountedAct
from fightnotes.tally.coverage import NotedRound

DimensionName = Literal[
    "concept", "fighter", "opponent", "round", "outcome", "target", "bout", "stance", "pairing", "analyst",
    "day", "month", "year",
]  # fmt: skip
Value = str | int | None
"""None where nothing says it."""


class Every(Enum):
    VALUE = "all"


EVERY = Every.VALUE
"""Stands for all values of a dimension."""


@dataclass(frozen=True)
class Dimension:
    name: DimensionName
    values: Callable[[CountedAct], tuple[Value, ...]]
    """Of an act; several where it counts for each, none never."""
    seen_in: Callable[[NotedRound, Bout], tuple[Value, ...]] | None
    """The values that may be noted in a round; None where that is any in any round."""
    unsaid: str
    """What None is called."""
    level: Callable[[Value], float] | None = None
    """Of a value that stands in an order: where it lies."""
    whole: bool = False
    """Whether values of which something was noted stand in the table though nothing was counted of them."""
    rated: bool = True
    """Whether it is known how long was looked at for each value: of stances that is not counted."""

    def shown(self, value: Value | Every) -> str:
        """What a value is called in a table."""
        if isinstance(value, Every):
            return value.value
        return self.unsaid if value is None else str(value)


def _said(values: Iterable[Value]) -> tuple[Value, ...]:
    return tuple(values) or (None,)


def _fighters(_: NotedRound, bout: Bout) -> tuple[Value, ...]:
    return *(fighter.id for fighter in bout.fighters), None


def _day(day: datetime.date | None, letters: int) -> str | None:
    return None if day is None else day.isoformat()[:letters]


def _as_day(value: Value) -> float:
    return float(datetime.date.fromisoformat(str(value)).toordinal())


def _as_month(value: Value) -> float:
    year, month = str(value).split("-")
    return 12.0 * int(year) + int(month)


def _of_time(name: DimensionName, letters: int, level: Callable[[Value], float]) -> Dimension:
    return Dimension(
        name,
        lambda act: (_day(act.day, letters),),
        lambda _, bout: (_day(bout.date, letters),),
        "no day",
        level,
        whole=True,
    )


DIMENSIONS: dict[str, Dimension] = {
    dimension.name: dimension
    for dimension in (
        Dimension("concept", lambda act: _said(act.concepts), None, "no tag"),
        Dimension("fighter", lambda act: _said(act.fields.by), _fighters, "not said"),
        Dimension("opponent", lambda act: _said(act.opponents), _fighters, "not said"),
        Dimension(
            "round",
            lambda act: (act.round,),
            lambda one, _: (one.number,),
            "no round",
            lambda value: float(str(value)),
            whole=True,
        ),
        Dimension("outcome", lambda act: _said(act.fields.outcome), None, "not said"),
        Dimension("target", lambda act: _said(act.fields.target), None, "not said"),
        Dimension("bout", lambda act: (act.bout,), lambda one, _: (one.bout,), "no bout", whole=True),
        Dimension("stance", lambda act: _said(act.stances), None, "not said", rated=False),
        Dimension("pairing", lambda act: (act.pairing,), None, "unknown", rated=False),
        Dimension("analyst", lambda act: act.analysts, lambda one, _: tuple(one.analysts), "nobody named"),
        _of_time("day", 10, _as_day),
        _of_time("month", 7, _as_month),
        _of_time("year", 4, lambda value: float(str(value))),
    )
}


def in_order(dimension: Dimension, counts: Mapping[Value, int]) -> tuple[Value, ...]:
    """Values as they stand in a table: by their order, else the most counted first; what nothing says comes last."""
    level = dimension.level
    said = [value for value in counts if value is not None]
    if level is None:
        said.sort(key=lambda value: (-counts[value], str(value)))
    else:
        said.sort(key=level)
    return (*said, None) if None in counts else tuple(said)


def plain_value(value: Value | Every) -> Value:
    return value.value if isinstance(value, Every) else value
