"""A segment: one timed moment of a note or a transcript."""

from __future__ import annotations

from fractions import Fraction
from typing import Literal

from pydantic import Field

from fightnotes.model.bout import FOOTAGE, Record
from fightnotes.model.labels import as_tag, fold

Pairing = Literal["open", "closed", "unknown"]
Period = Literal["round", "rest", "before", "after"]
Kind = Literal["note", "transcript"]


class Fields(Record):
    """What `key:value` says of a segment or of one tag; ids and folded words, in the order written."""

    by: tuple[str, ...] = ()
    on: tuple[str, ...] = ()
    target: tuple[str, ...] = ()
    outcome: tuple[str, ...] = ()


ACT_KEYS = tuple(Fields.model_fields)
"""The keys of the fields that tell of an act."""


class Tag(Record):
    written: str
    """As it stands in the note, without `#`."""
    concept: str | None
    """The id that it names, or None where the vocabulary has no such label."""
    line: int
    column: int
    """Of the `#`, both from 1."""
    own: Fields = Fields()
    """Fields in the tag's parentheses, which hold for this tag alone."""

    @property
    def name(self) -> str:
        """The concept's id, or the tag's own words in the form of one where the vocabulary lacks it."""
        return self.concept or as_tag(fold(self.written))


class InferredField(Record):
    """A value of a field that the words of a segment tell and that nobody wrote."""

    key: str
    """One of `ACT_KEYS`."""
    value: str
    probability: float
    words: tuple[str, ...] = ()
    """What it stands on, as it stands in the text."""


class InferredAct(Record):
    """What the words of a segment tell of one act beside what is written: each key once at most."""

    fields: tuple[InferredField, ...]


class Repair(Record):
    """Words of a transcript that stand for what a speech recogniser made of them: `text[begin:stop]` of the segment."""

    begin: int
    stop: int
    heard: str
    """The words in the file."""
    score: float
    """How surely they are meant, 0 to 1; 1 where a form is listed as misheard."""


class SpokenSentence(Record):
    """A sentence of speech: `text[begin:stop]` of the segment."""

    begin: int
    stop: int
    start: Fraction
    """Seconds on the segment's recording, by the share of its cue's letters that stands before it."""
    line: int
    """Of the cue in which it begins."""


class Segment(Record):
    bout: str
    file: str
    line: int
    last_line: int
    kind: Kind
    text: str
    """Prose: the time, the tags and the fields are taken out; a tag inside a sentence stays as words."""
    written_time: str | None = None
    """The time as it stands in a note, as `m:ss` in a transcript; None where the text is untimed."""
    about: bool = False
    """Whether the time is written as approximate."""
    timed_on: str = FOOTAGE
    start: Fraction | None = None
    end: Fraction | None = None
    """Seconds on the recording `timed_on`; None where untimed, or where no bell places a round clock."""
    end_given: bool = False
    footage_start: Fraction | None = None
    footage_end: Fraction | None = None
    """The same moment on the footage, where the recordings are aligned there."""
    round: int | None = None
    clock_start: Fraction | None = None
    clock_end: Fraction | None = None
    """Readings of the round clock in the bout's direction, in seconds."""
    period: Period | None = None
    """Where the start falls; None where nothing places it."""
    bell_inferred: bool = False
    heading: tuple[str, ...] = ()
    """Headings above it, outermost first."""
    heading_round: int | None = None
    tags: tuple[Tag, ...] = ()
    fields: Fields = Fields()
    inferred: tuple[InferredAct, ...] = ()
    """What its words tell of fields that nobody wrote; a written field always wins."""
    repairs: tuple[Repair, ...] = ()
    """In order; of a transcript alone."""
    sentences: tuple[SpokenSentence, ...] = ()
    """In order; of a transcript alone."""
    stances: dict[str, str] = Field(default_factory=dict)
    """Stance held by each fighter at this moment, by fighter id."""
    pairing: Pairing = "unknown"
    analyst: str | None = None
    parent_line: int | None = None
    """First line of the segment that this one is nested under."""

    @property
    def timed(self) -> bool:
        return self.written_time is not None

    @property
    def place(self) -> str:
        """`file:line`"""
        return f"{self.file}:{self.line}"

    @property
    def tag_names(self) -> tuple[str, ...]:
        """The names of its tags, each once."""
        return tuple(dict.fromkeys(tag.name for tag in self.tags))

    def span_on(self, recording: str) -> tuple[Fraction, Fraction] | None:
        """Begin and end in seconds of a recording; None where it has no time there.

        A moment whose end lies past the last aligned pair lasts on the footage as long as on its own recording.
        """
        if self.start is None:
            return None
        end = self.start if self.end is None else self.end
        if recording == self.timed_on:
            return self.start, end
        if recording != FOOTAGE or self.footage_start is None:
            return None
        lasts = self.footage_start + end - self.start
        return self.footage_start, lasts if self.footage_end is None else self.footage_end

    def all_of(self, field: str) -> tuple[str, ...]:
        """What it says of a field for itself and in its tags' parentheses, each value once."""
        said = (self.fields, *(tag.own for tag in self.tags))
        return tuple(dict.fromkeys(value for fields in said for value in getattr(fields, field)))

    def inferred_of(self, field: str) -> tuple[str, ...]:
        """What is inferred of a field, each value once."""
        told = (each for act in self.inferred for each in act.fields)
        return tuple(dict.fromkeys(each.value for each in told if each.key == field))

    @property
    def heard(self) -> str:
        """The text with the words that a speech recogniser made of others."""
        here, pieces = 0, []
        for repair in self.repairs:
            pieces += [self.text[here : repair.begin], repair.heard]
            here = repair.stop
        return "".join((*pieces, self.text[here:]))

    def known(self, field: str) -> tuple[str, ...]:
        """What is written of a field; where nothing is, what is inferred."""
        return self.all_of(field) or self.inferred_of(field)


class Act(Record):
    """One thing done in a segment: a tag's name (None where nothing is tagged) with the fields that hold for it."""

    concept: str | None
    fields: Fields


def acts_of(segment: Segment) -> tuple[Act, ...]:
    """Each tag with its fields: its own, else the segment's.

    An outcome is that of the action by the fighter in `by`: a tag that names another fighter than
    the segment does not inherit the segment's outcome.
    """
    if not segment.tags:
        return (Act(concept=None, fields=segment.fields),)
    return tuple(Act(concept=tag.name, fields=_effective(tag.own, segment.fields)) for tag in segment.tags)


def acts_known(segment: Segment) -> tuple[Act, ...]:
    """The acts of `acts_of` with what is inferred put in where nothing is written, and inferred acts of themselves.

    Several inferred acts say nothing of a tag: which of them it names is not known.
    """
    if not segment.inferred:
        return acts_of(segment)
    told = [Fields(**{each.key: (each.value,) for each in act.fields}) for act in segment.inferred]
    written = acts_of(segment)
    if len(told) == 1:
        return tuple(act.model_copy(update={"fields": _effective(act.fields, told[0])}) for act in written)
    return (*written, *(Act(concept=None, fields=fields) for fields in told))


def _effective(own: Fields, shared: Fields) -> Fields:
    if not (own.by or own.on or own.target or own.outcome):
        return shared
    same_actor = not own.by or not shared.by or set(own.by) == set(shared.by)
    return Fields(**{key: getattr(own, key) or (getattr(shared, key) if same_actor else ()) for key in ACT_KEYS})
