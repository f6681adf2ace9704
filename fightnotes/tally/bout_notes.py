"""What a library has of its bouts: how much of each is noted, and its moments round by round."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from fightnotes.index.store import Store
from fightnotes.model import FOOTAGE, Bout, Moment, Segment
from fightnotes.reading.placing import seconds_gone
from fightnotes.search.filters import Filters, matching_ids
from fightnotes.tally.acts import round_of
from fightnotes.tally.coverage import rounds_of


@dataclass(frozen=True)
class NotedBout:
    bout: Bout
    noted: int
    """Rounds with a timed note."""
    rounds: int
    """Rounds that there were, as far as is known."""
    moments: int
    """In notes and transcripts."""


@dataclass(frozen=True)
class RoundMoments:
    title: str
    """The round, or what holds the moments that are in none."""
    moments: tuple[Moment, ...]
    """In the order of time; those without one in that of the files."""


def noted_bouts(store: Store) -> tuple[NotedBout, ...]:
    """All, the newest first; those without a day last."""
    segments = store.every_segment().values()
    rounds = rounds_of(store.bouts, segments)
    noted = Counter(bout for bout, _ in rounds.noted)
    moments = Counter(segment.bout for segment in segments)
    found = [NotedBout(one, noted[one.id], rounds.held[one.id], moments[one.id]) for one in store.bouts.values()]
    return tuple(sorted(found, key=lambda one: one.bout.date.toordinal() if one.bout.date else 0, reverse=True))


def round_moments(store: Store, bout: str, filters: Filters) -> tuple[RoundMoments, ...]:
    """The moments of a bout, of several tags those that have one of them, as its timeline shows them.

    Raises UnknownName as `find` does.
    """
    asked = filters.model_copy(update={"bout": (bout,)})
    each_tag = [asked.model_copy(update={"tags": (tag,)}) for tag in asked.tags] or [asked]
    numbers = sorted({number for one in each_tag for number in matching_ids(one, store) or ()})
    held: dict[tuple[int, int], list[Segment]] = defaultdict(list)
    for segment in store.segments(numbers).values():
        held[_part(segment)].append(segment)
    return tuple(
        RoundMoments(_title(*part), tuple(map(store.moment, _in_time(segments, store.bouts[bout]))))
        for part, segments in sorted(held.items())
    )


_BEFORE, _IN, _REST, _UNPLACED, _UNTIMED = range(5)


def _part(segment: Segment) -> tuple[int, int]:
    """Round and kind of part, in the order of the bout; what is in no part of it comes last."""
    if not segment.timed:
        return 10**6, _UNTIMED
    if segment.period == "before":
        return 0, _BEFORE
    if (number := round_of(segment)) is not None:
        return number, _IN
    return (segment.round, _REST) if segment.round and segment.period else (10**6, _UNPLACED)


def _title(number: int, part: int) -> str:
    return {
        _BEFORE: "Before the first bell",
        _IN: f"Round {number}",
        _REST: f"After round {number}",
        _UNPLACED: "In no round that is known",
        _UNTIMED: "Untimed",
    }[part]


def _in_time(segments: Sequence[Segment], bout: Bout) -> list[Segment]:
    """By the round's clock, else by the footage; what is placed on neither stays as it stands in its file."""

    def key(segment: Segment) -> tuple[bool, Fraction]:
        if (gone := seconds_gone(segment, bout)) is not None:
            return False, gone
        time = segment.start if segment.timed_on == FOOTAGE else segment.footage_start
        return True, time or Fraction(0)

    return sorted(segments, key=key)
