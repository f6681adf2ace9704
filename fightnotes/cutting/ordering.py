"""The order in which cuts play."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Mapping, Sequence
from typing import Any, Literal, get_args

from fightnotes.cutting.cuts import Cut
from fightnotes.model import acts_of, fold

Order = Literal["date", "bout", "round", "relevance", "outcome", "hand"]
ORDERS: tuple[Order, ...] = get_args(Order)


def ordered(cuts: Sequence[Cut], order: Order, outcomes: Sequence[str]) -> list[Cut]:
    """The cuts in `order`; what ties follows by date, bout and time, and what lacks the value comes last.

    date: the bout's date. bout: its title. round: that of the first moment. relevance: that of the best moment,
    best first. outcome: that of the first moment that has one, in the order of `outcomes`. hand: as they are.
    """
    if order == "hand":
        return list(cuts)
    place = {outcome: number for number, outcome in enumerate(outcomes)}
    keys: Mapping[str, Callable[[Cut], Any]] = {
        "date": lambda cut: (),
        "bout": lambda cut: fold(cut.bout.title),
        "round": _round,
        "relevance": lambda cut: (cut.relevance is None, -(cut.relevance or 0.0)),
        "outcome": lambda cut: min(
            (place.get(outcome, len(place)) for outcome in _first_outcomes(cut)), default=len(place) + 1
        ),
    }
    return sorted(cuts, key=lambda cut: (keys[order](cut), _in_time(cut)))


def _in_time(cut: Cut) -> tuple[datetime.date, str, str, int]:
    return cut.bout.date or datetime.date.max, cut.bout.id, cut.recording, cut.start_frame


def _round(cut: Cut) -> int | float:
    number = cut.moments[0].candidate.segment.round
    return float("inf") if number is None else number


def _first_outcomes(cut: Cut) -> tuple[str, ...]:
    acts = (acts_of(moment.candidate.segment) for moment in cut.moments)
    said = (tuple(word for act in each for word in act.fields.outcome) for each in acts)
    return next(filter(None, said), ())
