"""The golden cases of tests/cases/marks.md: readers and edits agree on what is a mark."""

from __future__ import annotations

from pathlib import Path

import pytest

from fightnotes.editing.line_edit import LineEdit, edited
from fightnotes.editing.tag_rewrite import retag
from fightnotes.editing.taking import Notes, plan_taking
from fightnotes.model import Fields
from fightnotes.reading.library import read_library

CASES = Path(__file__).parents[1] / "cases" / "marks.md"
FILE = "bouts/one.md"
FRONT = "---\nbout: one\nred: {name: Ines Corvale}\nblue: {name: Rika Brandaal}\n---\n"
CONCEPTS = ("jab", "cross", "pivot", "अन्दर")


def _cases() -> list[tuple[str, str, str]]:
    opening, *parts = CASES.read_text(encoding="utf-8").split("\n.\n")
    assert len(parts) % 3 == 0, "a case is a title, a note and what becomes of it, a dot behind each"
    titles = [title.strip().split("\n")[-1] for title in (opening, *parts[2::3])]
    return list(zip(titles, parts[0::3], parts[1::3], strict=False))


CASE_LIST = _cases()


@pytest.mark.parametrize(
    ("note", "expected"), [(note, expected) for _, note, expected in CASE_LIST], ids=[title for title, *_ in CASE_LIST]
)
def test_case(note: str, expected: str, tmp_path: Path) -> None:
    (tmp_path / "bouts").mkdir()
    vocabulary = "".join(f"  - {{id: {name}, label: {name}}}\n" for name in CONCEPTS)
    (tmp_path / "vocabulary.yaml").write_text(f"concepts:\n{vocabulary}", encoding="utf-8")
    text = FRONT + note + "\n"
    (tmp_path / FILE).write_text(text, encoding="utf-8")
    reading = read_library(tmp_path)
    assert reading.problems == ()
    (segment,) = reading.segments
    tags = " ".join(f"#{tag.written}{f'({_shown(tag.own)})' if tag.own != Fields() else ''}" for tag in segment.tags)
    notes = Notes(tmp_path, {bout.id: bout for bout in reading.bouts}, reading.vocabulary, reading.settings)
    merged = retag(reading.segments, {FILE: text}, lambda _, tag: "cross" if tag.concept == "jab" else None)

    def after(edits: tuple[LineEdit, ...]) -> str:
        return edited(FILE, text, edits).removeprefix(FRONT).removesuffix("\n").replace("\n", " / ")

    assert [
        " | ".join(("read: " + tags, _shown(segment.fields), segment.text)).replace("  ", " ").rstrip(),
        f"pivot added: {after(plan_taking(notes, [(segment, 'pivot')]).edits)}",
        f"jab to cross: {after(merged)}",
    ] == expected.split("\n")


def _shown(fields: Fields) -> str:
    return " ".join(f"{key}:{value}" for key, values in fields for value in values)
