"""What a segment must be to pass, in the ids of the library; and the same as a condition in SQL."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from fightnotes.model import Kind, Pairing


@dataclass(frozen=True)
class ActCriteria:
    """What one act must be; what is empty asks nothing."""

    concepts: tuple[str, ...] = ()
    """Alternatives, as those of the other fields are."""
    by: tuple[str, ...] = ()
    on: tuple[str, ...] = ()
    fighter: tuple[str, ...] = ()
    """Who acts or is acted on."""
    corner: str | None = None
    fields: tuple[tuple[str, tuple[str, ...]], ...] = ()
    """Words asked for, by the field that has one of them, such as `outcome`."""
    written: bool = False
    """Take only what somebody wrote."""


@dataclass(frozen=True)
class Criteria:
    """All must hold; each of `acts` for one act of the segment."""

    bout_files: tuple[str, ...] = ()
    analysts: tuple[str, ...] = ()
    pairing: Pairing | None = None
    kind: Kind | None = None
    rounds: tuple[int, int] | None = None
    """First and last, both included."""
    since: str | None = None
    """A day, as ISO 8601 writes it."""
    until: str | None = None
    acts: tuple[ActCriteria, ...] = ()


class Condition:
    """A condition of SQL that grows, with the values for its question marks in order."""

    def __init__(self) -> None:
        self._parts: list[str] = []
        self.values: list[str | int] = []

    def __str__(self) -> str:
        return " AND ".join(self._parts)

    def __bool__(self) -> bool:
        return bool(self._parts)

    def add(self, part: str, values: Iterable[str | int] = ()) -> None:
        self._parts.append(part)
        self.values.extend(values)

    def among(self, column: str, wanted: Iterable[str]) -> None:
        """The column has one of the values; anything, where none is wanted."""
        chosen = tuple(wanted)
        if chosen:
            self.add(f"{column} IN ({_marks(chosen)})", chosen)


def condition_of(criteria: Criteria) -> Condition:
    """Of the table `segments` as `s`. It is empty where nothing is asked."""
    found = Condition()
    found.among("s.bout_file", criteria.bout_files)
    found.among("s.analyst", criteria.analysts)
    found.among("s.pairing", (criteria.pairing,) if criteria.pairing else ())
    found.among("s.kind", (criteria.kind,) if criteria.kind else ())
    if criteria.rounds:
        found.add("s.round BETWEEN ? AND ?", criteria.rounds)
    for sign, day in ((">=", criteria.since), ("<=", criteria.until)):
        if day:
            found.add(f"s.date {sign} ?", (day,))
    for act in criteria.acts:
        inner = _act(act)
        if inner:
            found.add(f"EXISTS (SELECT 1 FROM acts a WHERE a.segment = s.id AND {inner})", inner.values)
    return found


def _act(act: ActCriteria) -> Condition:
    found = Condition()
    found.among("a.concept", act.concepts)
    found.among('a."by"', act.by)
    found.among('a."on"', act.on)
    if act.fighter:
        marks = _marks(act.fighter)
        found.add(f'(a."by" IN ({marks}) OR a."on" IN ({marks}))', (*act.fighter, *act.fighter))
    found.among("a.corner", (act.corner,) if act.corner else ())
    for key, words in act.fields:
        found.among(f'a."{key}"', words)
    if found and act.written:
        found.add("NOT a.inferred")
    return found


def _marks(values: tuple[str, ...]) -> str:
    return ", ".join("?" * len(values))
