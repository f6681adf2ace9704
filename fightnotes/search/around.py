"""What stands around a moment in its bout: the notes before and after it, and what was said at that time."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from fractions import Fraction

from fightnotes.clock import format_media_time
from fightnotes.index.store import Store
from fightnotes.model import FOOTAGE, Moment, Record, Segment
from fightnotes.reading.placing import seconds_gone, to_footage
from fightnotes.search.filters import Filters, matching_ids

EACH_SIDE = 5
"""Notes shown before a moment, and after it."""
SAID_WITHIN = 15
"""Seconds before a moment begins, and after it ends, in which talk still belongs to it: by hand, no source."""

Place = tuple[Fraction, ...]
"""Where a segment stands among others on one clock, compared part by part."""


class Saying(Record):
    """A sentence of a transcript, or what stands between two times of one that has none."""

    moment: Moment
    """Of speech, in which it is said."""
    text: str
    line: int
    start: Fraction
    """Seconds on the recording that its moment is timed on."""
    footage_start: Fraction | None

    @property
    def place(self) -> str:
        """`file:line`"""
        return f"{self.moment.segment.file}:{self.line}"

    @property
    def time(self) -> str:
        """On the recording that its moment is timed on, as text."""
        return format_media_time(self.start, 0)

    def start_on(self, recording: str) -> Fraction | None:
        """Seconds of a recording; None where it has no time there."""
        if recording == self.moment.segment.timed_on:
            return self.start
        return self.footage_start if recording == FOOTAGE else None


class Around(Record):
    before: tuple[Moment, ...]
    """The nearest notes before it, the first to happen first."""
    after: tuple[Moment, ...]
    """The nearest notes after it, and those that begin with it and are written below."""
    said: tuple[Saying, ...]
    """What transcripts say near it, on its own recording or on the footage, in the order of time."""


def around(moment: Moment, store: Store) -> Around:
    """Notes are held against it on the footage, else its recording, else the round clock, else by their lines."""
    ids = matching_ids(Filters(bout=(moment.bout.id,)), store) or []
    every = store.segments(ids).values()
    place_of = _clock_of(moment)
    here = place_of(moment.segment) or ()
    notes = sorted(
        ((place, one.file, one.line, one) for one in every if one.kind == "note" and (place := place_of(one))),
        key=lambda placed: placed[:3],
    )
    split = (here, moment.segment.file, moment.segment.line)
    before = [one for *placed, one in notes if tuple(placed) < split]
    after = [one for *placed, one in notes if tuple(placed) > split]
    talk = (saying for one in every if one.kind == "transcript" for saying in _sayings(store.moment(one)))
    said = [(apart, saying) for saying in talk if (apart := _apart(moment.segment, saying)) is not None]
    return Around(
        before=tuple(map(store.moment, before[-EACH_SIDE:])),
        after=tuple(map(store.moment, after[:EACH_SIDE])),
        said=tuple(saying for _, saying in sorted(said, key=lambda found: (found[0], found[1].place))),
    )


def _clock_of(moment: Moment) -> Callable[[Segment], Place | None]:
    """What places segments of the bout on the clock that the moment itself is placed on."""
    own = moment.segment
    if own.footage_start is not None:
        return lambda one: None if one.footage_start is None else (one.footage_start,)
    if own.start is not None:
        return lambda one: None if one.start is None or one.timed_on != own.timed_on else (one.start,)
    if own.round is not None and own.clock_start is not None:
        return lambda one: _in_round(one, moment)
    return lambda one: (Fraction(one.line),) if one.file == own.file else None


def _in_round(segment: Segment, moment: Moment) -> Place | None:
    gone = seconds_gone(segment, moment.bout)
    return None if gone is None or segment.round is None else (Fraction(segment.round), gone)


def _sayings(moment: Moment) -> Iterator[Saying]:
    segment = moment.segment
    if segment.sentences:
        for one in segment.sentences:
            there = to_footage(moment.bout, segment.timed_on, one.start)
            text = segment.text[one.begin : one.stop]
            yield Saying(moment=moment, text=text, line=one.line, start=one.start, footage_start=there)
    elif segment.start is not None:
        start, there = segment.start, segment.footage_start
        yield Saying(moment=moment, text=segment.text, line=segment.line, start=start, footage_start=there)


def _apart(segment: Segment, saying: Saying) -> Fraction | None:
    """Seconds from the begin of a moment to what is said near it; None where they lie apart."""
    for recording in (segment.timed_on, FOOTAGE):
        span, start = segment.span_on(recording), saying.start_on(recording)
        if span and start is not None:
            near = span[0] - SAID_WITHIN <= start <= span[1] + SAID_WITHIN
            return start - span[0] if near else None
    return None
