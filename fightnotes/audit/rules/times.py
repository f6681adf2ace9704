"""Times against the bout: order, rounds, rests, the end of the footage, the heading above."""

from __future__ import annotations

from bisect import bisect_right
from collections import defaultdict
from collections.abc import Iterator, Sequence
from contextlib import suppress
from fractions import Fraction

from fightnotes.audit.data import AuditData
from fightnotes.audit.rules.rule import Remark
from fightnotes.clock import ClockError, RoundClock, elapsed_of, format_media_time
from fightnotes.model import Segment

_When = tuple[int, Fraction]
_PERIODS = {
    "rest": "in the rest behind round {round}",
    "before": "before the first bell",
    "after": "past the end of the last round",
}


def out_of_order(data: AuditData) -> Iterator[Remark]:
    """The fewest notes of a file that must go for the others to stand in order of time.

    Not in a bout whose clock runs the other way than its front matter says: that is one mistake, and told as one.
    """
    reversed_files = {problem.file for problem in data.reading.problems if problem.kind == "clock-direction"}
    reversed_bouts = {note.bout for note in data.notes if note.file in reversed_files}
    series: dict[tuple[str, str], list[tuple[_When, Segment]]] = defaultdict(list)
    for note in data.notes:
        bout = data.bouts[note.bout]
        if bout.id in reversed_bouts:
            continue
        if note.start is not None:
            series[note.file, note.timed_on].append(((0, note.start), note))
        elif note.round is not None and note.clock_start is not None and bout.rounds:
            with suppress(ClockError):  # the reader has reported it
                elapsed = elapsed_of(RoundClock(note.round, note.clock_start), bout.rounds)
                series[note.file, "clock"].append(((note.round, elapsed), note))
    for timed in series.values():
        kept = _longest_ascent([when for when, _ in timed])
        for index, (_, note) in enumerate(timed):
            if index not in kept:
                yield _remark(data, note, "stands out of the order of time of its file")


def _remark(data: AuditData, note: Segment, said: str, *others: Segment) -> Remark:
    return Remark(tuple(map(data.place, (note, *others))), f"{note.written_time} {said}", note.written_time or "")


def _longest_ascent(values: Sequence[_When]) -> set[int]:
    """Indices of a longest run of values that never falls (Fredman 1975, patience sorting)."""
    tops: list[_When] = []
    ends: list[int] = []
    before: list[int] = []
    for index, value in enumerate(values):
        pile = bisect_right(tops, value)
        before.append(ends[pile - 1] if pile else -1)
        tops[pile:] = [value] if pile == len(tops) else [value, *tops[pile + 1 :]]
        ends[pile:] = [index] if pile == len(ends) else [index, *ends[pile + 1 :]]
    kept: set[int] = set()
    here = ends[-1] if ends else -1
    while here >= 0:
        kept.add(here)
        here = before[here]
    return kept


def outside_rounds(data: AuditData) -> Iterator[Remark]:
    for note in data.notes:
        if note.timed and note.period in _PERIODS:
            where = _PERIODS[note.period].format(round=note.round)
            guess = "; the bell was worked out, not given" if note.bell_inferred else ""
            yield _remark(data, note, f"falls {where}{guess}")


def outside_footage(data: AuditData) -> Iterator[Remark]:
    for note in data.notes:
        length = data.lengths.get((note.bout, note.timed_on))
        if length is not None and note.start is not None and note.start >= length:
            yield _remark(data, note, f"lies past the end of the recording, {format_media_time(length)}")


def overlap(data: AuditData) -> Iterator[Remark]:
    """A written end behind the start of the next note that is not part of it."""
    level: dict[tuple[str, str, int | None], Segment] = {}
    for note in data.notes:
        if note.start is None:
            continue
        key = (note.file, note.timed_on, note.parent_line)
        earlier = level.get(key)
        level[key] = note
        if earlier is None or earlier.start is None or not earlier.end_given or earlier.end is None:
            continue
        if earlier.start < note.start < earlier.end:
            over = format_media_time(earlier.end - note.start)
            said = f"ends {over} behind the start of the next note, {note.written_time}"
            yield _remark(data, earlier, said, note)


def heading_round(data: AuditData) -> Iterator[Remark]:
    for note in data.notes:
        if not note.timed or note.heading_round is None or note.round is None or note.period != "round":
            continue
        if note.round != note.heading_round:
            heading = f"under the heading of round {note.heading_round}"
            yield _remark(data, note, f"falls in round {note.round}, {heading}")
