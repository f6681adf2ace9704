"""What the words of a segment tell of fields that nobody wrote, as filters and people are given it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from fightnotes.language.acts_told import ToldAct, acts_told, last_spoken_of
from fightnotes.language.fields_said import SaidField, fields_of
from fightnotes.language.note_reader import NoteReader
from fightnotes.model import ACT_KEYS, Fields, InferredAct, InferredField, Segment

SURE_ENOUGH = 0.8
"""Least probability of what is inferred. What is less likely is for a person to decide: see `suggesting/fields`."""


def with_inferred(segments: Sequence[Segment], reader: NoteReader) -> list[Segment]:
    """The timed segments with what their words tell beside what is written.

    A note tells of one act, where it does not contradict itself; a moment of speech of as many as it tells of, and who
    was spoken of last in the moment before may be meant by its pronouns.
    """
    found: list[Segment] = []
    topic: str | None = None
    before: Segment | None = None
    for segment in segments:
        if not segment.timed or not segment.text:
            found.append(segment)
            continue
        if segment.kind == "note":
            acts: Iterable[tuple[SaidField, ...]] = [_of_note(segment, reader)]
        else:
            goes_on = before is not None and (before.bout, before.file) == (segment.bout, segment.file)
            acts = [act.fields for act in _of_speech(segment, reader, topic if goes_on else None)]
            topic = last_spoken_of(segment.text, reader.people(segment), topic if goes_on else None)
            before = segment
        found.append(segment.model_copy(update={"inferred": tuple(_sure(acts))}))
    return found


def _of_note(segment: Segment, reader: NoteReader) -> tuple[SaidField, ...]:
    written = Fields(**{key: segment.all_of(key) for key in ACT_KEYS})
    if all(getattr(written, key) for key in ACT_KEYS):
        return ()
    return fields_of(segment.text, reader.acts(segment), reader.people(segment), written)


def _of_speech(segment: Segment, reader: NoteReader, topic: str | None) -> tuple[ToldAct, ...]:
    return acts_told(segment.text, reader.people(segment), reader.labels, topic=topic)


def _sure(acts: Iterable[tuple[SaidField, ...]]) -> Iterator[InferredAct]:
    for fields in acts:
        kept = tuple(
            InferredField(key=one.key, value=one.value, probability=round(one.probability, 4), words=one.words)
            for one in fields
            if one.probability >= SURE_ENOUGH
        )
        if kept:
            yield InferredAct(fields=kept)
