"""What is said of some acts: how many they are, how often for the time that was looked at, and how they came out."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from math import isfinite
from typing import Any

from fightnotes.tally.acts import CountedAct
from fightnotes.tally.coverage import NotedRound
from fightnotes.tally.estimate import Estimate
from fightnotes.tally.proportion import share
from fightnotes.tally.rate import rate

SUCCESSES = ("landed", "worked", "hurt", "knockdown", "stoppage")
"""Outcomes with which an act did what it was for. PARTIAL is none, and is told beside them."""
PARTIAL = "partial"

Noted = Mapping[tuple[str, int], NotedRound]
"""Noted rounds by bout and number."""

_rate = lru_cache(maxsize=100_000)(rate)
_share = lru_cache(maxsize=100_000)(share)


@dataclass(frozen=True)
class Seen:
    """How much was looked at."""

    rounds: int = 0
    """Rounds noted."""
    parts: float = 0.0
    """The same, of a stopped round the part that there was: what rates go by."""
    minutes: float = 0.0
    """Of those whose length is known."""


def seen_in(rounds: Iterable[NotedRound]) -> Seen:
    several = tuple(rounds)
    return Seen(len(several), sum(one.part for one in several), sum(one.minutes or 0.0 for one in several))


@dataclass(frozen=True)
class Figures:
    count: int
    in_rounds: int
    """How many of them lie in noted rounds: what rates go by."""
    in_minutes: int
    """How many lie in noted rounds of known length."""
    seen: Seen | None
    """None where it is not known for how long they could have been noted."""
    with_outcome: int
    succeeded: int
    """With an outcome of SUCCESSES."""
    partial: int
    """With the outcome PARTIAL and none of these."""
    acts: tuple[CountedAct, ...] = field(repr=False)

    @property
    def looked_for(self) -> bool:
        """Whether a count of 0 says that there was none."""
        return self.seen is None or self.seen.rounds > 0

    @property
    def per_round(self) -> Estimate | None:
        return _rate(self.in_rounds, self.seen.parts) if self.seen else None

    @property
    def per_minute(self) -> Estimate | None:
        return _rate(self.in_minutes, self.seen.minutes) if self.seen else None

    @property
    def success(self) -> Estimate | None:
        """Of the acts with an outcome, the share that succeeded."""
        return _share(self.succeeded, self.with_outcome)

    @property
    def success_said(self) -> str:
        """`9 of 14: 64 % (39-84 %), 1 partial`; nothing where no outcome is noted."""
        if self.success is None:
            return ""
        partly = f", {self.partial} partial" if self.partial else ""
        return f"{self.succeeded} of {self.with_outcome}: {self.success.percent}{partly}"

    def as_json(self) -> dict[str, Any]:
        """Plain values, without the acts."""
        return {
            "count": self.count,
            "in_noted_rounds": self.in_rounds,
            "noted_rounds": self.seen.rounds if self.seen else None,
            "noted_minutes": plain_number(self.seen.minutes) if self.seen else None,
            "per_round": plain_estimate(self.per_round),
            "per_minute": plain_estimate(self.per_minute),
            "with_outcome": self.with_outcome,
            "succeeded": self.succeeded,
            "partial": self.partial,
            "success": plain_estimate(self.success),
        }


def did_succeed(act: CountedAct) -> bool:
    return any(outcome in SUCCESSES for outcome in act.fields.outcome)


def figures_of(acts: Sequence[CountedAct], noted: Noted, seen: Seen | None) -> Figures:
    judged = [act for act in acts if act.fields.outcome]
    succeeded = [did_succeed(act) for act in judged]
    places = [noted.get((act.bout, act.round)) for act in acts if act.round is not None]
    return Figures(
        count=len(acts),
        in_rounds=sum(place is not None for place in places),
        in_minutes=sum(place is not None and place.minutes is not None for place in places),
        seen=seen,
        with_outcome=len(judged),
        succeeded=sum(succeeded),
        partial=sum(PARTIAL in act.fields.outcome and not did for act, did in zip(judged, succeeded, strict=True)),
        acts=tuple(acts),
    )


def plain_estimate(estimate: Estimate | None) -> dict[str, float | None] | None:
    """Value and 95 % interval; None for what nothing bounds."""
    return None if estimate is None else {key: plain_number(number) for key, number in vars(estimate).items()}


def plain_number(number: float | None) -> float | None:
    """To six figures."""
    return float(f"{number:.6g}") if number is not None and isfinite(number) else None
