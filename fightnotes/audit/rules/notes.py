"""Notes as a whole: written twice, or without a time."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from fractions import Fraction

from rapidfuzz import fuzz

from fightnotes.audit.data import AuditData
from fightnotes.audit.rules.rule import Remark
from fightnotes.language.words import content_stems
from fightnotes.model import Fields, Segment, fold

_NEAR = Fraction(1)
"""Seconds within which two notes with nearly the same words are one."""
_ALIKE = 90
"""Of 100, rapidfuzz's ratio of two folded texts (set by hand)."""
_LONG = 8
"""Content words from which nobody writes the same sentence twice (set by hand)."""


def duplicate_note(data: AuditData) -> Iterator[Remark]:
    """Of two notes of one analyst on one bout, the later with what it repeats."""
    groups: dict[tuple[str, str | None], list[Segment]] = defaultdict(list)
    for note in data.notes:
        if note.timed and note.text:
            groups[note.bout, note.analyst].append(note)
    for notes in groups.values():
        by_text: dict[str, list[Segment]] = defaultdict(list)
        by_time: dict[tuple[int | None, int], list[Segment]] = defaultdict(list)
        for note in notes:
            when = noted_at(note)
            second = None if when is None else int(when)
            near = [other for step in (-1, 0, 1) for other in by_time.get((note.round, (second or 0) + step), ())]
            words = fold(note.text)
            same = by_text[words]
            twin = same[0] if same and len(content_stems(note.text)) >= _LONG else None
            twin = twin or next((other for other in near if second is not None and repeats(note, other)), None)
            if twin:
                said = f"repeats the note of line {twin.line}" + (f" of {twin.file}" if twin.file != note.file else "")
                yield Remark((data.place(note), data.place(twin)), said, note.written_time or "")
            same.append(note)
            if second is not None:
                by_time[note.round, second].append(note)


def repeats(note: Segment, other: Segment) -> bool:
    """Whether they are the same words at the same time, but for a slip."""
    here, there = noted_at(note), noted_at(other)
    if here is None or there is None or abs(here - there) > _NEAR:
        return False
    return fuzz.ratio(fold(note.text), fold(other.text)) >= _ALIKE


def noted_at(note: Segment) -> Fraction | None:
    return note.start if note.start is not None else note.clock_start


def untimed_note(data: AuditData) -> Iterator[Remark]:
    """Text with tags or fields and no time: it counts as a moment and cannot be shown or cut."""
    reported = {(problem.file, problem.line) for problem in data.reading.problems}
    for note in data.notes:
        coded = note.tags or note.fields != Fields()
        if not note.timed and coded and (note.file, note.line) not in reported:
            yield Remark((data.place(note),), "has tags or fields, but no time", fold(note.text)[:60])
