"""Fields that nobody wrote: found by, ranked by, shown as inferred, and left out where they are not wanted."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from fightnotes.library import Library, open_library
from fightnotes.search.filters import Filters
from tests.conftest import RunCommand

NOTES = """---
bout: quellmark-tanverro-2035
red: {name: Ada Quellmark, stance: orthodox}
blue: {name: Noor Tanverro, stance: southpaw}
rounds: {count: 3, length: "3:00", rest: "1:00", clock: down}
---
- R1 2:40 Quellmark lands the jab.
- R1 2:20 Quellmark lands the jab. by:tanverro
- R1 2:00 Somebody is busy.
Quellmark lands the jab, says the poster.
- R1 1:40 Quellmark's jab to the body is blocked. #jab by:quellmark
"""
FIRST, CONTRADICTED, TAGGED = 7, 8, 11


@pytest.fixture
def library(tmp_path: Path, small_model: Path) -> Library:
    (tmp_path / "bouts").mkdir()
    (tmp_path / "library.yaml").write_text(f"model: {small_model}\n", encoding="utf-8")
    (tmp_path / "vocabulary.yaml").write_text("concepts:\n- {id: jab, label: jab}\n", encoding="utf-8")
    (tmp_path / "bouts" / "a.md").write_text(NOTES, encoding="utf-8")
    library = open_library(tmp_path)
    library.build()
    return library


def lines(library: Library, **filters: object) -> set[int]:
    return {hit.segment.line for hit in library.find("", Filters.model_validate(filters)).hits}


def test_a_filter_goes_by_what_the_words_tell(library: Library) -> None:
    assert FIRST in lines(library, by=["Quellmark"], outcome=["landed"])
    assert FIRST in lines(library, on=["Tanverro"])


def test_what_is_written_wins(library: Library) -> None:
    assert CONTRADICTED not in lines(library, by=["Quellmark"])
    assert CONTRADICTED in lines(library, by=["Tanverro"])


def test_a_tag_takes_what_its_note_does_not_write(library: Library) -> None:
    assert lines(library, tags=["jab"], target=["body"]) == {TAGGED}
    assert lines(library, tags=["jab"], target=["body"], written=True) == set()


def test_written_fields_alone(library: Library) -> None:
    assert lines(library, by=["Quellmark"], written=True) == {TAGGED}


def test_a_hit_says_what_is_inferred(library: Library, fightnotes: RunCommand) -> None:
    run = fightnotes("find", "--on", "Tanverro", "--library", str(library.root), "--format", "json")
    hit = next(hit for hit in json.loads(run.stdout)["hits"] if hit["line"] == FIRST)
    assert hit["by"] == ["quellmark"]
    assert {(each["key"], each["value"]) for act in hit["inferred"] for each in act} >= {
        ("by", "quellmark"), ("on", "tanverro"), ("outcome", "landed"),
    }  # fmt: skip
    table = fightnotes("find", "--on", "Tanverro", "--library", str(library.root)).stdout
    assert "inferred: by:quellmark (0." in table
    written = next(hit for hit in json.loads(run.stdout)["hits"] if hit["line"] == TAGGED)
    assert "by" not in {each["key"] for act in written["inferred"] for each in act}
