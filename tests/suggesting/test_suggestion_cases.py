"""The golden cases of tests/cases/suggestions.md, written into a copy of the demo as a bout of its own."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import pytest

from fightnotes.library import open_library

CASES = Path(__file__).parents[1] / "cases" / "suggestions.md"
FRONT = """---
bout: cases
rounds: {count: 3, length: "3:00"}
red: {name: Mio Kazehori, stance: southpaw}
blue: {name: Rika Brandaal, stance: orthodox}
---
"""


def _cases() -> list[tuple[str, str, list[tuple[bool, str]]]]:
    blocks = re.findall(
        r"^(.+)\n\.\n(.+)\n\.\n((?:(?:yes|no) .+\n)+)\.$", CASES.read_text(encoding="utf-8"), re.MULTILINE
    )
    return [
        (title, note, [(line.startswith("yes"), line.split()[1]) for line in expected.splitlines()])
        for title, note, expected in blocks
    ]


@pytest.fixture(scope="module")
def suggested(demo: Path, tmp_path_factory: pytest.TempPathFactory) -> dict[str, set[str]]:
    """By note, the concepts suggested for it."""
    root = tmp_path_factory.mktemp("cases") / "library"
    shutil.copytree(demo, root)
    notes = [f"- {minute}:00 {note}" for minute, (_, note, _) in enumerate(_cases(), 1)]
    (root / "bouts" / "cases.md").write_text(FRONT + "\n".join(notes) + "\n", encoding="utf-8")
    library = open_library(root)
    library.build()
    found = library.suggest(bouts=["cases"])
    lines = {line: note for line, (_, note, _) in enumerate(_cases(), len(FRONT.splitlines()) + 1)}
    return {note: {each.concept for each in found if each.segment.line == line} for line, note in lines.items()}


@pytest.mark.parametrize(
    ("note", "expected"), [pytest.param(note, expected, id=title) for title, note, expected in _cases()]
)
def test_case(note: str, expected: list[tuple[bool, str]], suggested: dict[str, set[str]]) -> None:
    said = {concept: concept in suggested[note] for _, concept in expected}
    assert said == {concept: wanted for wanted, concept in expected}


def test_every_case_is_read() -> None:
    text = CASES.read_text(encoding="utf-8")
    assert len(_cases()) == text.count("\n.\n") // 3
    assert len({note for _, note, _ in _cases()}) == len(_cases())
