"""A written time or range as a moment: on its recording, on the footage, in the bout; and the ends not written."""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass, replace
from fractions import Fraction

from fightnotes.clock import ClockError, RoundClock, SpanToken, Time, elapsed_of
from fightnotes.model import FOOTAGE, Bout, Period, Segment
from fightnotes.reading.excerpt import excerpt
from fightnotes.reading.placed_yaml import Reporter
from fightnotes.reading.placing import locate, next_bell, placement, to_footage


@dataclass(frozen=True)
class SegmentTiming:
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


@dataclass(frozen=True)
class WrittenTime:
    """A time or range as it stands in a note."""

    span: SpanToken
    text: str
    line: int
    column: int

    @property
    def end_column(self) -> int:
        """Of the second time of a range."""
        return self.column + (0 if self.span.end_begin is None else self.span.end_begin - self.span.begin)


def timing_of(
    bout: Bout, timed_on: str, written: WrittenTime, reporter: Reporter, reversed_clock: bool = False
) -> SegmentTiming:
    """The moment that a note's time means; a time that cannot be is reported at its place and left out.

    `reversed_clock` says that all round clocks of the file run the wrong way, which is reported already.
    """
    span = written.span
    try:
        span = _as_the_clock_shows(bout, span)
        start = locate(bout, timed_on, span.start)
    except ClockError as error:
        reporter.at(written.line, written.column, excerpt(error.found), error.expected, "impossible-time")
        return SegmentTiming()
    if span.end is None:
        return moment_at(bout, timed_on, start, None, span.start)
    try:
        end = locate(bout, timed_on, span.end)
    except ClockError as error:
        reporter.at(written.line, written.end_column, excerpt(error.found), error.expected, "impossible-time")
        return moment_at(bout, timed_on, start, None, span.start)
    if _runs_backward(bout, span, start, end):
        if not (reversed_clock and isinstance(span.start, RoundClock)):
            found = f"the range {excerpt(written.text)}"
            reporter.at(written.line, written.column, found, "an end after its start", "impossible-time")
        return moment_at(bout, timed_on, start, None, span.start)
    return moment_at(bout, timed_on, start, end, span.start, span.end)


def moment_at(
    bout: Bout,
    timed_on: str,
    start: Fraction | None,
    end: Fraction | None,
    written_start: Time | None = None,
    written_end: Time | None = None,
) -> SegmentTiming:
    """The moment from `start` to `end` seconds of a recording; what a written round clock says itself holds."""
    footage_start, footage_end = to_footage(bout, timed_on, start), to_footage(bout, timed_on, end)
    placed, placed_end = placement(bout, footage_start), placement(bout, footage_end)
    number = placed.round if placed else None
    clock_start = placed.clock if placed else None
    clock_end = placed_end.clock if placed and placed_end and placed_end.round == placed.round else None
    period = placed.period if placed else None
    if isinstance(written_start, RoundClock):
        number, clock_start, period = written_start.round, written_start.seconds, "round"
        clock_end = None
        if isinstance(written_end, RoundClock) and written_end.round == number:
            clock_end = written_end.seconds
    bell = bout.bells.get(number) if number is not None else None
    return SegmentTiming(
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


def _as_the_clock_shows(bout: Bout, span: SpanToken) -> SpanToken:
    """What is left or gone of a round, as its clock shows it. Raises ClockError where a round's length is not known."""
    if span.counting in (None, "clock"):
        return span
    if bout.rounds is None:
        if span.counting == "left":  # a clock that runs down, as long as nothing says otherwise
            return span
        raise ClockError("a time since the bell", "`rounds` in the front matter, which say how long a round is")
    if (span.counting == "left") == (bout.rounds.clock == "down"):
        return span
    length = bout.rounds.length

    def shown(time: Time | None) -> Time | None:
        return RoundClock(time.round, length - time.seconds) if isinstance(time, RoundClock) else time

    return replace(span, start=shown(span.start) or span.start, end=shown(span.end))


def _runs_backward(bout: Bout, span: SpanToken, start: Fraction | None, end: Fraction | None) -> bool:
    if start is not None and end is not None:
        return end <= start
    if not (isinstance(span.start, RoundClock) and isinstance(span.end, RoundClock) and bout.rounds):
        return False
    if span.start.round != span.end.round:
        return span.end.round < span.start.round
    return elapsed_of(span.end, bout.rounds) <= elapsed_of(span.start, bout.rounds)


def close_ends(bout: Bout, segments: list[Segment], longest: Fraction) -> list[Segment]:
    """Segments of one source with the ends that are not written.

    An end is the next segment's start or the next bell, whichever comes first, at most `longest` seconds away.
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
    bell = next_bell(bout, segment.start) if segment.timed_on == FOOTAGE else None
    if bell is not None:
        limits.append(bell)
    end = min(limits)
    return segment.model_copy(update={"end": end, "footage_end": to_footage(bout, segment.timed_on, end)})
