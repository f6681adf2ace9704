"""What the words of a segment tell of fields that nobody wrote, as filters and people are given it."""

from __future__ import annotations

from collections.abc import Sequence

from fightnotes.language.fields_said import fields_of
from fightnotes.language.note_reader import NoteReader
from fightnotes.model import ACT_KEYS, Fields, InferredAct, InferredField, Segment

SURE_ENOUGH = 0.8
"""Least probability of what is inferred. What is less likely is for a person to decide: see `suggesting/fields`."""


def with_inferred(segments: Sequence[Segment], reader: NoteReader) -> list[Segment]:
    """The timed segments with what their words tell beside what is written."""
    return [_read(segment, reader) if segment.timed and segment.text else segment for segment in segments]


def _read(segment: Segment, reader: NoteReader) -> Segment:
    written = Fields(**{key: segment.all_of(key) for key in ACT_KEYS})
    if all(getattr(written, key) for key in ACT_KEYS):
        return segment
    said = fields_of(segment.text, reader.acts(segment), reader.people(segment), written)
    sure = tuple(
        InferredField(key=one.key, value=one.value, probability=round(one.probability, 4), words=one.words)
        for one in said
        if one.probability >= SURE_ENOUGH
    )
    return segment.model_copy(update={"inferred": (InferredAct(fields=sure),)}) if sure else segment
