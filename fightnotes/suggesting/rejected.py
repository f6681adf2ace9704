"""Suggestions that a person refused, remembered in `rejected-tags.yaml` so that they are not made again.

One line an entry, known by file, time and text rather than by line, so that it holds while the notes are edited.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Sequence
from pathlib import Path

from pydantic import ValidationError, model_validator

from fightnotes.editing.plan import Plan
from fightnotes.editing.refusals_file import plan_line
from fightnotes.editing.taking import field_of
from fightnotes.errors import Problem, UnreadableFile
from fightnotes.model import Record, Segment
from fightnotes.reading.file_names import TAGS_FILE
from fightnotes.reading.refusals import read_entries

_HEADER = (
    "# Tags and fields that were suggested and refused: they are not suggested again."
    " Take a line out to be asked again.\n"
)


class Rejection(Record):
    file: str
    time: str | None
    """As written in the note."""
    text: str
    """White space folded."""
    concept: str | None = None
    """Of a tag."""
    field: str | None = None
    """A field, as `key:value`."""

    @model_validator(mode="after")
    def _of_one(self) -> Rejection:
        if (self.concept is None) == (self.field is None):
            raise ValueError("a concept or a field, one of them")
        return self

    @property
    def name(self) -> str:
        return self.concept or self.field or ""


def rejection_of(segment: Segment, name: str) -> Rejection:
    """`name` is a concept's id, or `key:value`."""
    time, text = segment.written_time, _folded(segment.text)
    if field_of(name):
        return Rejection(file=segment.file, time=time, text=text, field=name)
    return Rejection(file=segment.file, time=time, text=text, concept=name)


def read_rejections(root: Path) -> tuple[Rejection, ...]:
    """Raises UnreadableFile where the file is there and is not such a list."""
    expected = "a list of {file, time, text, concept or field}"
    entries = read_entries(root / TAGS_FILE, expected)
    try:
        return tuple(Rejection.model_validate(entry) for entry in entries)
    except ValidationError as error:
        found = str(error).splitlines()[0]
        raise UnreadableFile(Problem(TAGS_FILE, 1, 1, found, expected)) from error


def plan_rejection(root: Path, segment: Segment, name: str) -> Plan:
    """A refusal remembered at the end of the file; nothing where it is by now. Raises UnreadableFile."""
    refusal = rejection_of(segment, name)
    title = f"refuse {name}"
    if refusal in read_rejections(root):
        return Plan(title, ())
    return plan_line(root, TAGS_FILE, _line_of(refusal), _HEADER, title)


def is_rejected(segment: Segment, name: str, rejections: Iterable[Rejection], segments: Sequence[Segment]) -> bool:
    """Whether the concept or field was refused for this moment.

    The same moment is the one in the same file with the same time, or with the same text where the file has no
    moment of that time any more; where the file is gone, the one with both in another file.
    """
    for refusal in rejections:
        if refusal.name != name:
            continue
        same_time = refusal.time == segment.written_time
        same_text = refusal.text == _folded(segment.text)
        if refusal.file == segment.file:
            if same_time and same_text:
                return True
            if same_time and not _any(segments, refusal, text=refusal.text):
                return True
            if same_text and not _any(segments, refusal, text=None):
                return True
        elif same_time and same_text and not any(other.file == refusal.file for other in segments):
            return True
    return False


def _any(segments: Sequence[Segment], refusal: Rejection, text: str | None) -> bool:
    """Whether the file still has a moment of the time, and of the text where one is given."""
    return any(
        other.file == refusal.file
        and other.written_time == refusal.time
        and (text is None or _folded(other.text) == text)
        for other in segments
    )


def _line_of(refusal: Rejection) -> str:
    """A flow mapping in JSON's quotes, which YAML 1.2 reads."""
    said = refusal.model_dump(exclude_defaults=True) | {"time": refusal.time}
    fields = ", ".join(f"{key}: {json.dumps(value, ensure_ascii=False)}" for key, value in said.items())
    return f"- {{{fields}}}"


def _folded(text: str) -> str:
    return " ".join(text.split())
