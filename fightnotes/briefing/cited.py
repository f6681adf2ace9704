"""What is said with the moments it stands on, and how these are numbered where several sayings share them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any, Literal

from fightnotes.model.moment import plain_seconds
from fightnotes.search.hit import Hit

MOST_CITED = 6
"""Moments that a report names for one saying; JSON and the served answer have all."""

Origin = Literal["computed", "quoted"]


@dataclass(frozen=True)
class Statement:
    text: str
    """Of quoted ones the analyst's own words."""
    origin: Origin
    moments: tuple[Hit, ...]
    """All that it stands on; never none."""
    figures: dict[str, Any] = field(default_factory=dict)
    """The numbers in it, as `tally`, `compare` and `follow` give them in JSON."""

    def as_json(self) -> dict[str, Any]:
        return {
            "text": self.text,
            "origin": self.origin,
            "figures": self.figures,
            "moments": [moment_as_json(hit) for hit in self.moments],
        }


@dataclass(frozen=True)
class Cited:
    """Moments of one saying by their numbers, ascending; where not all are named, the latest of them."""

    numbers: tuple[int, ...]
    of: int
    """How many it stands on."""

    @property
    def runs(self) -> tuple[tuple[int, int], ...]:
        """As first and last of each run: 1, 2, 3, 7 are (1, 3) and (7, 7)."""
        runs: list[tuple[int, int]] = []
        for number in self.numbers:
            if runs and number == runs[-1][1] + 1:
                runs[-1] = (runs[-1][0], number)
            else:
                runs.append((number, number))
        return tuple(runs)

    def __str__(self) -> str:
        """`[1-3, 7]`, and of how many where not all are named; nothing where there is no moment."""
        runs = ", ".join(str(first) if first == last else f"{first}-{last}" for first, last in self.runs)
        if len(self.numbers) == self.of:
            return f"[{runs}]" if runs else ""
        return f"[{runs}; {len(self.numbers)} of {self.of} moments]"


@dataclass
class Numbering:
    """Moments by number from 1, in the order in which they are first named."""

    most: int | None = MOST_CITED
    """Of one saying; None for all."""
    moments: list[Hit] = field(default_factory=list)
    _numbers: dict[str, int] = field(default_factory=dict)

    def name(self, hits: Sequence[Hit]) -> Cited:
        named = []
        for hit in hits if self.most is None else hits[-self.most :]:
            if hit.place not in self._numbers:
                self.moments.append(hit)
                self._numbers[hit.place] = len(self.moments)
            named.append(self._numbers[hit.place])
        return Cited(tuple(sorted(named)), len(hits))


def moment_as_json(hit: Hit) -> dict[str, Any]:
    """Plain values: where a moment stands, and its words."""
    segment = hit.segment
    return {
        "bout": hit.bout.id,
        "file": segment.file,
        "line": segment.line,
        "also": [twin.place for twin in hit.same_moment],
        "round": segment.round,
        "round_clock": hit.round_clock,
        "start": plain_seconds(segment.start),
        "end": plain_seconds(segment.end),
        "timed_on": segment.timed_on,
        "text": hit.quoted,
        "link": hit.link,
    }


def quoted(hit: Hit) -> Statement:
    """A moment in the analyst's own words, with its place."""
    where = ", ".join(filter(None, (hit.bout.title, hit.where_in_bout or hit.media_time or "untimed")))
    return Statement(f"{where}: “{hit.quoted}”", "quoted", (hit,))
