"""From drafts to segments: marks read, stances followed, times placed on the recording and in the bout."""

from __future__ import annotations

from collections.abc import Sequence

from fightnotes.model import Bout, Fields, Segment, Source
from fightnotes.reading.note_blocks import Block
from fightnotes.reading.note_file import Draft, drafts_of
from fightnotes.reading.note_marks import Surroundings, read_marks
from fightnotes.reading.stances import first_stances, pairing_of
from fightnotes.reading.timing import Moment, moment_of


def segments_of(blocks: tuple[Block, ...], source: Source, around: Surroundings) -> list[Segment]:
    """The segments of one note file, in document order; open ends stay open."""
    bout = around.bout
    held = first_stances(bout)
    segments: list[Segment] = []
    for draft in drafts_of(blocks, around.reporter):
        marks = [read_marks(lines, around) for lines in draft.groups]
        for mark in marks:
            held = {**held, **dict(mark.stances)}
        moment = _moment(bout, source.timed_on, draft, around)
        analysts = [mark.analyst for mark in marks if mark.analyst]
        segments.append(
            Segment(
                bout=bout.id,
                file=source.file,
                line=draft.line,
                last_line=draft.last_line,
                kind="note",
                text="\n".join(text for text in (*(mark.text for mark in marks), *draft.literal) if text),
                written_time=draft.written_time,
                timed_on=source.timed_on,
                start=moment.start,
                end=moment.end,
                end_given=moment.end is not None,
                footage_start=moment.footage_start,
                footage_end=moment.footage_end,
                round=moment.round or draft.heading_round,
                clock_start=moment.clock_start,
                clock_end=moment.clock_end,
                period=moment.period,
                bell_inferred=moment.bell_inferred,
                heading=draft.heading,
                heading_round=draft.heading_round,
                tags=tuple(tag for mark in marks for tag in mark.tags),
                fields=_joined([mark.fields for mark in marks]),
                stances=held,
                pairing=pairing_of(bout, held),
                analyst=analysts[-1] if analysts else source.analyst or bout.analyst,
                parent_line=draft.parent_line,
            )
        )
    return segments


def _moment(bout: Bout, timed_on: str, draft: Draft, around: Surroundings) -> Moment:
    if draft.span is None:
        return Moment()
    return moment_of(bout, timed_on, draft.span, draft.line, draft.column, around.reporter)


def _joined(parts: Sequence[Fields]) -> Fields:
    return Fields(
        by=tuple(dict.fromkeys(value for part in parts for value in part.by)),
        on=tuple(dict.fromkeys(value for part in parts for value in part.on)),
        target=tuple(dict.fromkeys(value for part in parts for value in part.target)),
        outcome=tuple(dict.fromkeys(value for part in parts for value in part.outcome)),
    )
