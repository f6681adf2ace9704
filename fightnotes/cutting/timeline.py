"""Cuts laid end to end on one record timeline, at one rate."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from fightnotes.clock import (
    ClockError,
    Timecode,
    format_timecode,
    frame_of,
    nearest_frame,
    seconds_of_frame,
    timecode_of,
)
from fightnotes.cutting.cuts import Cut
from fightnotes.errors import ExportError


@dataclass(frozen=True, slots=True)
class Event:
    """A cut in its place on the record timeline."""

    number: int
    """From 1."""
    cut: Cut
    start_frame: int
    end_frame_exclusive: int
    """Record frames, from 0 at the reel's first."""

    @property
    def frames(self) -> int:
        return self.end_frame_exclusive - self.start_frame


@dataclass(frozen=True, slots=True)
class Timeline:
    rate: Fraction
    """Record frames a second: that of the sources which fill most of the reel."""
    drop_frame: bool
    events: tuple[Event, ...]
    rates: tuple[Fraction, ...]
    """All source rates, ascending."""
    first_frame: int = 0
    """Number of the reel's first frame in its timecode."""
    chosen: bool = False
    """Whether a person chose the record rate."""

    @property
    def frames(self) -> int:
        return self.events[-1].end_frame_exclusive

    def seconds(self, frame: int) -> Fraction:
        return seconds_of_frame(frame, self.rate)

    def timecode(self, frame: int) -> str:
        """Of a record frame, as it counts from the reel's start."""
        return format_timecode(timecode_of(self.first_frame + frame, self.rate, self.drop_frame))

    @property
    def remark(self) -> str | None:
        """What mixed frame rates mean for the record times."""
        if self.rates == (self.rate,):
            return None
        listed = ", ".join(str(rate) for rate in self.rates)
        why = "as chosen" if self.chosen else "the rate that fills most of the reel"
        return (
            f"Sources run at {listed} frames a second. Record times count at {self.rate}, {why}; cuts at another rate "
            "last the nearest whole number of its frames."
        )


def lay_out(cuts: Sequence[Cut], rate: Fraction | None = None, reel_start: Timecode | None = None) -> Timeline:
    """Contiguous events from record frame 0, in the order of the cuts.

    The record rate is `rate`, else the source rate with most running time (of two alike, the higher); it counts
    drop-frame where most of the cuts at that rate do. A cut at that rate keeps its number of frames; one at another
    lasts the nearest whole number of record frames, at least one. `reel_start` labels record frame 0, else it is
    00:00:00:00; its mark does not matter. Raises ExportError for no cuts, and for a start that the record rate has no
    label for.
    """
    if not cuts:
        raise ExportError("the cut list is empty: there is nothing to write")
    running: dict[Fraction, Fraction] = defaultdict(Fraction)
    for cut in cuts:
        running[cut.rate] += cut.duration
    record = rate or max(running, key=lambda rate: (running[rate], rate))
    dropping = sum((cut.duration for cut in cuts if cut.rate == record and cut.drop_frame), Fraction(0))
    drop_frame = dropping * 2 > running.get(record, 0)
    events: list[Event] = []
    at = 0
    for number, cut in enumerate(cuts, start=1):
        end = at + max(1, nearest_frame(cut.duration, record))
        events.append(Event(number, cut, at, end))
        at = end
    return Timeline(
        record,
        drop_frame,
        tuple(events),
        tuple(sorted(running)),
        chosen=rate is not None,
        first_frame=_number_of(reel_start, record, drop_frame),
    )


def _number_of(start: Timecode | None, rate: Fraction, drop_frame: bool) -> int:
    if start is None:
        return 0
    try:
        return frame_of(replace(start, drop=drop_frame), rate)
    except ClockError as error:
        raise ExportError(f"the reel cannot start at {error.found}: expected {error.expected}") from error
