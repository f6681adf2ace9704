"""From the segments of a library to acts that can be counted, each once however often it is told."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from fightnotes.model import Act, Bout, Fields, Pairing, Segment, acts_known, acts_of

Above = Callable[[str], tuple[str, ...]]
"""From a concept to it and all above it."""


@dataclass(frozen=True)
class Telling:
    """One act as one segment tells it."""

    id: int
    """Of the segment in the store."""
    segment: Segment
    concept: str | None
    fields: Fields


@dataclass(frozen=True)
class CountedAct:
    """One thing done in a bout. Where several segments tell it, a field is that of the first that has it."""

    bout: str
    day: datetime.date | None
    round: int | None
    """In which it was done; None outside of rounds, and where no time tells."""
    time: Fraction | None
    """Seconds on the footage; where nothing places it there, on the recording of its segment."""
    concept: str | None
    """As it is tagged; None where only its fields are written."""
    concepts: tuple[str, ...]
    """It and all above it: what the act counts for."""
    fields: Fields
    opponents: tuple[str, ...]
    """Who is written in `on`; else the other fighters of the bout, where it is written who acts."""
    stances: tuple[str, ...]
    """Those of the opponents, each once."""
    pairing: Pairing
    analysts: tuple[str | None, ...]
    """Who told it, each once."""
    segment: Segment
    """The first that tells it."""
    others: tuple[Segment, ...]
    """Further ones."""
    ids: frozenset[int]
    """Of all these segments in the store."""


def tellings_of(segments: Iterable[tuple[int, Segment]], *, inferred: bool) -> Iterator[Telling]:
    """The acts of segments by id: each tag, and where there is none what the fields tell.

    With `inferred`, fields that nobody wrote and the words tell are put in, as `acts_known` does; several acts inferred
    of a tagged segment are left out, as they are done by its tags, and which does what is not known.
    """
    for number, segment in segments:
        acts = acts_known(segment) if inferred else acts_of(segment)
        yield from (Telling(number, segment, act.concept, act.fields) for act in acts if _is_told(act, segment))


def _is_told(act: Act, segment: Segment) -> bool:
    return act.concept is not None or (not segment.tags and act.fields != Fields())


def counted_act(tellings: Sequence[Telling], bout: Bout, above: Above) -> CountedAct:
    """The act that these tell, of which the first says where it lies."""
    segment = tellings[0].segment
    concept: str | None = None
    for telling in tellings:
        concept = narrower_of(concept, telling.concept, above)
    fields = joined_fields(telling.fields for telling in tellings)
    opponents = _opponents(fields, bout)
    by_id = {telling.id: telling.segment for telling in tellings}
    return CountedAct(
        bout=bout.id,
        day=bout.date,
        round=round_of(segment),
        time=segment.start if segment.footage_start is None else segment.footage_start,
        concept=concept,
        concepts=above(concept) if concept else (),
        fields=fields,
        opponents=opponents,
        stances=tuple(dict.fromkeys(segment.stances[one] for one in opponents if one in segment.stances)),
        pairing=segment.pairing,
        analysts=tuple(dict.fromkeys(telling.segment.analyst for telling in tellings)),
        segment=segment,
        others=tuple(by_id.values())[1:],
        ids=frozenset(by_id),
    )


def round_of(segment: Segment) -> int | None:
    """The round in which a timed segment lies; None in a rest, before and after the bout, and without a time."""
    return segment.round if segment.timed and segment.period in (None, "round") else None


def narrower_of(concept: str | None, other: str | None, above: Above) -> str | None:
    """The one of two that stands below the other, of which one may be None; else the first."""
    return other if concept is None or (other is not None and concept in above(other)) else concept


def joined_fields(said: Iterable[Fields]) -> Fields:
    """Each field as the first has it that has it at all."""
    first, *rest = said
    if not rest:
        return first
    joined: dict[str, tuple[str, ...]] = {}
    for fields in (first, *rest):
        for key, values in fields:
            if values:
                joined.setdefault(key, values)
    return Fields(**joined)


def _opponents(fields: Fields, bout: Bout) -> tuple[str, ...]:
    if fields.on or not fields.by:
        return fields.on
    return tuple(fighter.id for fighter in bout.fighters if fighter.id not in fields.by)
