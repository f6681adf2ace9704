"""The golden cases of tests/cases/notes.md: notes as an analyst writes them, and what is read."""

from __future__ import annotations

from pathlib import Path

import pytest

from fightnotes.clock import format_media_time, format_range
from fightnotes.model import OUTCOMES, Fields, Segment, Tag
from fightnotes.reading.library import read_library

CASES = Path(__file__).parents[1] / "cases" / "notes.md"
USUAL_ANALYST, USUAL_PAIRING = "mk", "open"


def _parts() -> tuple[str, str, list[tuple[str, str, str]]]:
    """The usual front matter and vocabulary, then title, note and what is read of each case."""
    opening, *parts = CASES.read_text(encoding="utf-8").split("\n.\n")
    front_matter, vocabulary = (block.split("\n```")[0] for block in opening.split("```yaml\n")[1:])
    titles = [opening, *parts[2::3]]
    titles = [title.strip().split("\n")[-1] for title in titles]
    assert len(parts) % 3 == 0, "a case is a title, a note and what is read, a dot behind each"
    return front_matter + "\n", vocabulary + "\n", list(zip(titles, parts[0::3], parts[1::3], strict=False))


FRONT_MATTER, VOCABULARY, CASE_LIST = _parts()


def read_as_lines(folder: Path, note: str) -> list[str]:
    """Reads a note behind the usual front matter, or behind its own; lines count from the note's first."""
    own = note.startswith("---\n")
    files = {
        "library.yaml": "default_length: 12\n",
        "vocabulary.yaml": VOCABULARY,
        "bouts/bout.md": note if own else FRONT_MATTER + note,
    }
    for name, text in files.items():
        path = folder / name
        path.parent.mkdir(exist_ok=True)
        path.write_bytes(text.encode())
    reading = read_library(folder)
    before = 0 if own else FRONT_MATTER.count("\n")
    shown = [_shown(segment, before) for segment in reading.segments]
    shown += [
        f"problem at {problem.line - before}:{problem.column}: found {problem.found}, expected {problem.expected}"
        for problem in reading.problems
    ]
    shown = [line.replace(", ".join(OUTCOMES), "OUTCOMES") for line in shown]
    return shown or ["nothing"]


def _shown(segment: Segment, before: int) -> str:
    lines = f"line {segment.line - before}"
    if segment.last_line > segment.line:
        lines += f"-{segment.last_line - before}"
    parts = [
        lines,
        f"under line {segment.parent_line - before}" if segment.parent_line else "",
        f"about {segment.written_time}" if segment.about else segment.written_time or "untimed",
        _footage(segment),
        _place(segment),
        *(_tag(tag, before) for tag in segment.tags),
        _fields(segment.fields),
        f"analyst {segment.analyst}" if segment.analyst not in (None, USUAL_ANALYST) else "",
        f"pairing {segment.pairing}" if segment.pairing != USUAL_PAIRING else "",
        segment.text.replace("\n", " / "),
    ]
    return " | ".join(part for part in parts if part)


def _footage(segment: Segment) -> str:
    if segment.start is None or segment.end is None:
        return ""
    end = format_media_time(segment.end)
    return f"{format_media_time(segment.start)}-{end if segment.end_given else f'({end})'}"


def _place(segment: Segment) -> str:
    if segment.period is None:
        return f"round {segment.round}, as the heading says" if segment.round else ""
    if segment.period == "round":
        return f"round {segment.round} at {format_range(segment.clock_start, segment.clock_end)}"
    return {"rest": f"rest after round {segment.round}", "before": "before the bout", "after": "after the bout"}[
        segment.period
    ]


def _tag(tag: Tag, before: int) -> str:
    own = _fields(tag.own)
    place = f"at {tag.line - before}:{tag.column}"
    known = "" if tag.concept == tag.written else f" = {tag.concept or 'unknown'}"
    return f"#{tag.written}{f'({own})' if own else ''} {place}{known}"


def _fields(fields: Fields) -> str:
    return " ".join(f"{key}:{value}" for key, values in fields for value in values)


@pytest.mark.parametrize(
    ("note", "expected"), [(note, expected) for _, note, expected in CASE_LIST], ids=[title for title, *_ in CASE_LIST]
)
def test_case(note: str, expected: str, tmp_path: Path) -> None:
    assert read_as_lines(tmp_path, note) == expected.split("\n")
