"""From drafts to segments: marks read, stances followed, times placed on the recording and in the bout."""

from __future__ import annotations

from collections.abc import Sequence

from fightnotes.model import ACT_KEYS, FOOTAGE, Fields, Segment, Source
from fightnotes.reading.direction import clock_runs_against
from fightnotes.reading.headed_times import put_on_clocks
from fightnotes.reading.note_blocks import Block
from fightnotes.reading.note_file import Draft, Part, drafts_of
from fightnotes.reading.note_marks import Marks, NoteContext, read_marks
from fightnotes.reading.stances import StanceChange, with_stances
from fightnotes.reading.timing import SegmentTiming, timing_of


def segments_of(
    blocks: tuple[Block, ...], source: Source, context: NoteContext, earlier: Sequence[StanceChange] = ()
) -> tuple[list[Segment], list[StanceChange]]:
    """The segments of one note file, in document order, open ends left open; and the stance changes known then.

    `earlier` are those that the bout's other notes give.
    """
    segments: list[Segment] = []
    written: list[tuple[tuple[str, str], ...]] = []
    drafts = drafts_of(blocks, context.reporter)
    if source.timed_on == FOOTAGE:
        put_on_clocks(drafts, context.bout.rounds, context.reporter)
    times = (draft.time for draft in drafts if draft.time)
    reversed_clock = clock_runs_against(context.bout.rounds, times, context.reporter)
    for draft in drafts:
        marks = [marks_of(part, context) for part in draft.parts]
        moment = SegmentTiming()
        if draft.time:
            moment = timing_of(context.bout, source.timed_on, draft.time, context.reporter, reversed_clock)
        segments.append(_segment(draft, marks, moment, source, context))
        written.append(tuple(stance for mark in marks for stance in mark.stances))
    return with_stances(context.bout, segments, written, earlier)


def marks_of(part: Part, context: NoteContext) -> Marks:
    """Of one block; of code and HTML the text alone."""
    if part.literal:
        return Marks("\n".join(line.text for line in part.lines))
    return read_marks(part.lines, context)


def _segment(draft: Draft, marks: list[Marks], moment: SegmentTiming, source: Source, context: NoteContext) -> Segment:
    bout = context.bout
    analysts = [mark.analyst for mark in marks if mark.analyst]
    return Segment(
        bout=bout.id,
        file=source.file,
        line=draft.line,
        last_line=draft.last_line,
        kind="note",
        text="\n".join(mark.text for mark in marks if mark.text),
        written_time=draft.time.text if draft.time else None,
        about=draft.time is not None and draft.time.span.about,
        timed_on=source.timed_on,
        start=moment.start,
        end=moment.end,
        end_given=moment.end is not None,
        footage_start=moment.footage_start,
        footage_end=moment.footage_end,
        round=moment.round if moment.period else draft.heading_round,
        clock_start=moment.clock_start,
        clock_end=moment.clock_end,
        period=moment.period,
        bell_inferred=moment.bell_inferred,
        heading=draft.heading,
        heading_round=draft.heading_round,
        tags=tuple(tag for mark in marks for tag in mark.tags),
        fields=joined([mark.fields for mark in marks]),
        analyst=analysts[-1] if analysts else source.analyst or bout.analyst,
        parent_line=draft.parent_line,
    )


def joined(parts: Sequence[Fields]) -> Fields:
    """The fields of several blocks, each value once."""
    values = {key: dict.fromkeys(value for part in parts for value in getattr(part, key)) for key in ACT_KEYS}
    return Fields(**{key: tuple(found) for key, found in values.items()})
