"""A written time or range as a moment: on its recording, on the footage, in the bout; and the ends not written."""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass
from fractions import Fraction

from fightnotes.clock import ClockError, RoundClock, SpanToken, Time, elapsed_of
from fightnotes.model import FOOTAGE, Bout, Period, Segment
from fightnotes.reading.placed_yaml import Reporter, excerpt
from fightnotes.reading.placing import locate, placement, round_end, to_footage


@dataclass(frozen=True)
class Moment:
    """Where a span lies; None for what nothing tells. Seconds, all exact."""

    start: Fraction | None = None
    end: Fraction | None = None
    footage_start: Fraction | None = None
    footage_end: Fraction | None = None
    round: int | None = None
    clock_start: Fraction | None = None
    clock_end: Fraction | None = None
    period: Period | None = None
    bell_inferred: bool = False


def moment_of(bout: Bout, timed_on: str, span: SpanToken, line: int, column: int, reporter: Reporter) -> Moment:
    """The moment that `span` of a note means; a time that cannot be is reported at its place and left out."""

    def seconds(time: Time | None) -> Fraction | None:
        if time is None:
            return None
        try:
            return locate(bout, timed_on, time)
        except ClockError as error:
            reporter.at(line, column, excerpt(error.found), error.expected)
            return None

    start, end = seconds(span.start), seconds(span.end)
    if _runs_backward(bout, span, start, end):
        reporter.at(line, column, "a range whose end is not after its start", "a later end")
        end = None
    return moment_at(bout, timed_on, start, end, span)


def moment_at(
    bout: Bout, timed_on: str, start: Fraction | None, end: Fraction | None, span: SpanToken | None = None
) -> Moment:
    """The moment from `start` to `end` seconds of a recording; what a round clock in `span` says itself holds."""
    footage_start, footage_end = to_footage(bout, timed_on, start), to_footage(bout, timed_on, end)
    placed, placed_end = placement(bout, footage_start), placement(bout, footage_end)
    number = placed.round if placed else None
    clock_start = placed.clock if placed else None
    clock_end = placed_end.clock if placed and placed_end and placed_end.round == placed.round else None
    period = placed.period if placed else None
    if span and isinstance(span.start, RoundClock):
        number, clock_start, period = span.start.round, span.start.seconds, "round"
        clock_end = span.end.seconds if isinstance(span.end, RoundClock) and span.end.round == number else None
    bell = bout.bells.get(number) if number is not None else None
    return Moment(
        start=start,
        end=end,
        footage_start=footage_start,
        footage_end=footage_end,
        round=number,
        clock_start=clock_start,
        clock_end=clock_end,
        period=period,
        bell_inferred=bool(bell and bell.inferred and footage_start is not None),
    )


def _runs_backward(bout: Bout, span: SpanToken, start: Fraction | None, end: Fraction | None) -> bool:
    if start is not None and end is not None:
        return end <= start
    if isinstance(span.start, RoundClock) and isinstance(span.end, RoundClock) and bout.rounds:
        if span.start.round != span.end.round:
            return span.end.round < span.start.round
        try:
            return elapsed_of(span.end, bout.rounds) <= elapsed_of(span.start, bout.rounds)
        except ClockError:  # reported where the time was located
            return False
    return False


def close_ends(bout: Bout, segments: list[Segment], longest: Fraction) -> list[Segment]:
    """Segments of one source with the ends that are not written.

    An end is the next segment's start or the round's end, whichever comes first, at most `longest` seconds away.
    """
    starts = sorted({segment.start for segment in segments if segment.start is not None})
    return [_closed(bout, segment, starts, longest) for segment in segments]


def _closed(bout: Bout, segment: Segment, starts: list[Fraction], longest: Fraction) -> Segment:
    if segment.start is None or segment.end is not None:
        return segment
    limits = [segment.start + longest]
    following = bisect_right(starts, segment.start)
    if following < len(starts):
        limits.append(starts[following])
    bell = round_end(bout, segment.round) if segment.timed_on == FOOTAGE and segment.period == "round" else None
    if bell is not None and bell > segment.start:
        limits.append(bell)
    end = min(limits)
    return segment.model_copy(update={"end": end, "footage_end": to_footage(bout, segment.timed_on, end)})
