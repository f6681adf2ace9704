"""How each value of one dimension goes over another that stands in an order."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal

import numpy as np

from fightnotes.errors import UsageError
from fightnotes.tally.acts import CountedAct
from fightnotes.tally.adjust import adjusted
from fightnotes.tally.basis import Basis
from fightnotes.tally.count_trend import count_trend
from fightnotes.tally.dimensions import EVERY, Dimension, Every, Value, plain_value
from fightnotes.tally.estimate import p_value
from fightnotes.tally.figures import did_succeed, plain_estimate, plain_number
from fightnotes.tally.share_trend import share_trend
from fightnotes.tally.trend import Trend, in_words

Measure = Literal["per-round", "per-minute", "success"]
"""Of what: acts a noted round, a noted minute, or the share that succeeded."""

_UNITS: Mapping[Measure, str] = {"per-round": "a round", "per-minute": "a minute", "success": ""}
_Cell = tuple[str, float]
"""A bout, and where it lies in the order: a bout has a cell for each of its rounds, and one for its day."""
_Acts = Sequence[CountedAct]


@dataclass(frozen=True)
class ValueTrend:
    value: Value | Every
    count: int
    """Acts that the trend goes by."""
    trend: Trend
    p_adjusted: float | None
    """The trend's own p value, adjusted for all values of the tally."""
    words: str
    """What may be said, such as "from about 2 to about 6 a round"."""

    @property
    def ends(self) -> tuple[str, str]:
        """What the fit has at the lowest level and at the highest."""
        of_share = self.trend.kind == "share"
        first, last = (end and (end.percent if of_share else str(end)) for end in (self.trend.first, self.trend.last))
        return first or "", last or ""

    @property
    def change(self) -> str:
        """From the one to the other."""
        effect = self.trend.effect
        return "" if effect is None else effect.points if self.trend.kind == "share" else effect.times

    @property
    def p_said(self) -> str:
        return p_value(self.p_adjusted)

    def as_json(self) -> dict[str, Any]:
        """Plain values; what nothing bounds is None."""
        trend = self.trend
        return {
            "value": plain_value(self.value),
            "count": self.count,
            "says": self.words,
            "of": trend.kind,
            "first": plain_estimate(trend.first),
            "last": plain_estimate(trend.last),
            "effect": plain_estimate(trend.effect),
            "p": plain_number(trend.p_value),
            "p_adjusted": plain_number(self.p_adjusted),
            "too_few": trend.too_few,
        }


def trends_of(
    acts: Mapping[Value | Every, _Acts], of: Dimension | None, over: Dimension, basis: Basis, measure: Measure
) -> tuple[ValueTrend, ...]:
    """One for each value of `of`, or for EVERY; `over` stands in an order.

    Of rounds each bout is a stratum of its own, as `fightnotes.tally.strata` tells. UsageError for rates over a time
    that is not known.
    """
    if measure == "success":
        found = {value: _of_shares(some, over) for value, some in acts.items()}
    elif not basis.rated or (of and not of.rated):
        raise UsageError("how long a stance or a pairing was held is not counted: of these only success has a trend")
    else:
        seen = _exposures(of, over, basis, measure)
        found = {
            value: _of_counts(some, seen.get(value if of and of.seen_in else EVERY, {}), over, basis)
            for value, some in acts.items()
        }
    values = adjusted([trend.p_value for _, trend in found.values()])
    return tuple(
        ValueTrend(value, count, trend, p_value, in_words(trend, _UNITS[measure], p_value))
        for (value, (count, trend)), p_value in zip(found.items(), values, strict=True)
    )


def _exposures(
    of: Dimension | None, over: Dimension, basis: Basis, measure: Measure
) -> Mapping[Value | Every, dict[_Cell, float]]:
    """For each value how long it could have been noted, by cell; one that may be in any round has that of EVERY."""
    found: dict[Value | Every, dict[_Cell, float]] = defaultdict(lambda: defaultdict(float))
    for noted in basis.noted.values():
        bout = basis.bouts[noted.bout]
        exposure = noted.part if measure == "per-round" else noted.minutes
        level = over.seen_in(noted, bout)[0] if over.seen_in and over.level else None
        if exposure is not None and level is not None and over.level:
            for value in of.seen_in(noted, bout) if of and of.seen_in else (EVERY,):
                found[value][noted.bout, over.level(level)] += exposure
    return found


def _of_counts(acts: _Acts, exposures: Mapping[_Cell, float], over: Dimension, basis: Basis) -> tuple[int, Trend]:
    counts = dict.fromkeys(exposures, 0)
    for act in acts:
        cell = _cell_of(act, over)
        if cell in counts and (act.bout, act.round) in basis.noted:
            counts[cell] += 1
    levels = [level for _, level in exposures]
    strata = [bout for bout, _ in exposures] if over.name == "round" else None
    trend = count_trend(levels, list(counts.values()), list(exposures.values()), strata)
    return sum(counts.values()), trend


def _of_shares(acts: _Acts, over: Dimension) -> tuple[int, Trend]:
    cells: dict[_Cell, list[bool]] = defaultdict(list)
    for act in acts:
        cell = _cell_of(act, over)
        if cell and act.fields.outcome:
            cells[cell].append(did_succeed(act))
    strata = [bout for bout, _ in cells] if over.name == "round" else None
    levels, of = [level for _, level in cells], np.array([len(some) for some in cells.values()])
    return int(of.sum()), share_trend(levels, [sum(some) for some in cells.values()], of, strata)


def _cell_of(act: CountedAct, over: Dimension) -> _Cell | None:
    value = over.values(act)[0]
    return None if value is None or over.level is None else (act.bout, over.level(value))
