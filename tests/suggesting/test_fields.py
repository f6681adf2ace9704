"""Suggested fields through the library and the command: shown, taken, refused, reviewed, taken back."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Callable, Mapping
from pathlib import Path

import pytest
from typer.testing import Result

from fightnotes.library import Library, open_library
from fightnotes.reading.file_names import TAGS_FILE
from fightnotes.suggesting.rejected import read_rejections

MakeLibrary = Callable[[Mapping[str, str]], Path]
Run = Callable[..., Result]
VOCABULARY = """concepts:
  - {id: jab, label: jab, definition: A straight punch with the lead hand.}
  - {id: cross, label: cross, definition: A straight punch with the rear hand.}
  - {id: hook, label: hook, definition: A bent-arm punch that travels across.}
"""
FRONT = """---
bout: one
red: {name: Ines Corvale, stance: southpaw, also: [Corvale]}
blue: {name: Rika Brandaal, stance: orthodox, also: [Brandaal]}
sources: [{file: ../talk.vtt}]
---
"""
TALK = "WEBVTT\n\n00:01.000 --> 00:02.000\nCorvale lands the jab on the chin\n"
USED = "".join(f"- 1:{second} Hand out. #cross by:corvale target:head outcome:landed\n" for second in range(10, 20))


@pytest.fixture
def library(make_library: MakeLibrary) -> Callable[[str], Library]:
    def make(notes: str) -> Library:
        root = make_library({"vocabulary.yaml": VOCABULARY, "bouts/one.md": FRONT + notes, "talk.vtt": TALK})
        made = open_library(root)
        made.build()
        return made

    return make


Make = Callable[[str], Library]


def _notes(library: Library) -> str:
    return (library.root / "bouts" / "one.md").read_text(encoding="utf-8").removeprefix(FRONT)


def _fields(library: Library, line: int, above: float = 0.5) -> dict[str, str]:
    """What is suggested for a note, by its number."""
    first = len(FRONT.splitlines())
    found = library.suggest_marks(above=above, only="fields")
    return {each.name.partition(":")[0]: each.name for each in found if each.segment.line == first + line}


@pytest.mark.parametrize(
    ("note", "expected"),
    [
        pytest.param(
            "Corvale body jab, blocked.",
            ["by:corvale", "on:brandaal", "target:body", "outcome:blocked"],
            id="all four",
        ),
        pytest.param("Straight left lands. #cross", ["by:corvale", "on:brandaal", "outcome:landed"], id="by the hand"),
        pytest.param("Corvale body jab, blocked. by:corvale target:body", ["on:brandaal", "outcome:blocked"], id="two"),
        pytest.param("Corvale misses the jab. by:brandaal", [], id="what is said otherwise stands"),
        pytest.param("Corvale jabs. #jab(by:corvale outcome:landed)", ["on:brandaal"], id="said for a tag"),
        pytest.param("They circle.", [], id="nothing"),
    ],
)
def test_what_a_note_lacks(library: Make, note: str, expected: list[str]) -> None:
    found = _fields(library(f"- 0:10 {note}\n"), 1)
    assert set(found.values()) == set(expected)


def test_what_goes_without_saying_is_learned_from_the_library(library: Make) -> None:
    made = library(f"{USED}- 2:00 Same hand. #cross\n")
    assert {"target:head", "outcome:landed"} <= set(_fields(made, 11).values())
    (why,) = (str(each.why) for each in made.suggest_marks(only="fields") if each.name == "target:head")
    assert why == "10 of 10 other #cross"


def test_what_mostly_goes_without_a_field_is_not_given_one(library: Make) -> None:
    """Four crosses in ten have a target in this library, so that one without is nothing out of the way."""
    bare = "".join(f"- 2:{second} Hand out. #cross by:corvale outcome:landed\n" for second in range(10, 25))
    made = library(f"- 0:10 Hand out. #cross by:corvale\n{USED}{bare}")
    assert _fields(made, 1) == {"outcome": "outcome:landed"}
    (found,) = [each for each in made.suggest_marks(above=0.0, only="fields") if each.name == "target:head"][:1]
    assert str(found.why) == "10 of 25 other #cross"


def test_a_blow_that_is_denied_has_no_target(library: Make) -> None:
    made = library(f"- 0:10 Hand out, no punch. #cross by:corvale\n- 0:20 Hand out. #cross by:corvale\n{USED}")
    assert "target" not in _fields(made, 1)
    assert _fields(made, 2)["target"] == "target:head"


def test_for_notes_only(library: Make) -> None:
    made = library("- 0:10 Corvale body jab, blocked.\n")
    assert {each.segment.kind for each in made.suggest_marks(above=0.0, only="fields")} == {"note"}


def test_json_csv_and_table_show_them_beside_tags(library: Make, fightnotes: Run) -> None:
    root = library("- 0:10 Corvale hook to the body, blocked.\n").root
    rows = json.loads(fightnotes("suggest", "--library", root, "--format", "json", "--above", "0").stdout)[
        "suggestions"
    ]
    odds = [row["probability"] for row in rows]
    assert odds == sorted(odds, reverse=True)
    by = next(row for row in rows if row["field"] == "by")
    assert (by["mark"], by["value"], by["concept"], by["writable"]) == ("by:corvale", "corvale", None, True)
    assert by["why"]["words"] == ["Corvale hook to the body"]
    assert any(row["concept"] == "hook" and row["field"] is None for row in rows)
    sheet = fightnotes("suggest", "--library", root, "--only", "fields", "--format", "csv").stdout
    assert {row["mark"] for row in csv.DictReader(io.StringIO(sheet))} == {
        "by:corvale", "on:brandaal", "target:body", "outcome:blocked",
    }  # fmt: skip
    table = fightnotes("suggest", "--library", root, "--only", "fields").stdout
    assert "by:corvale" in table
    assert "says “blocked”" in table
    assert "#hook" not in table


def test_they_are_written_in_bulk_and_taken_back(library: Make, fightnotes: Run) -> None:
    made = library("- 0:10 Corvale body jab, blocked. #jab\n- 0:20 Corvale jab lands. by:corvale\n")
    before = _notes(made)
    words = ("suggest", "--library", made.root, "--only", "fields", "--take-above", "0.6")
    tried = fightnotes(*words, "--dry-run")
    assert "+- 0:10 Corvale body jab, blocked. #jab by:corvale on:brandaal target:body outcome:blocked" in tried.stdout
    assert _notes(made) == before
    assert fightnotes(*words).exit_code == 0
    assert _notes(made) == (
        "- 0:10 Corvale body jab, blocked. #jab by:corvale on:brandaal target:body outcome:blocked\n"
        "- 0:20 Corvale jab lands. by:corvale on:brandaal outcome:landed\n"
    )
    assert open_library(made.root).read().problems == ()
    made.undo()
    assert _notes(made) == before


def test_review_takes_changes_refuses_and_undoes(library: Make, fightnotes: Run) -> None:
    made = library("- 0:10 Corvale body jab, blocked.\n")
    waiting = sorted(made.suggest_marks(only="fields"), key=lambda each: each.segment.line)
    order = [each.name.partition(":")[0] for each in waiting]
    answers = {"by": "a", "on": "r", "target": "o\nhead", "outcome": "o\nno such\na\nu\na"}
    stdin = "".join(f"{answers[key]}\n" for key in order)
    result = fightnotes("suggest", "--library", made.root, "--only", "fields", "--review", stdin=stdin)
    assert "the library knows no outcome 'no such'" in result.stderr
    assert "2 accepted, 1 rejected, 1 changed" in result.stderr
    (written,) = _notes(made).splitlines()
    assert set(written.removeprefix("- 0:10 Corvale body jab, blocked. ").split()) == {
        "by:corvale", "target:head", "outcome:blocked",
    }  # fmt: skip
    assert {each.name for each in read_rejections(made.root)} == {"on:brandaal", "target:body"}
    assert 'field: "on:brandaal"' in (made.root / TAGS_FILE).read_text(encoding="utf-8")


def test_a_refused_field_is_not_suggested_again(library: Make) -> None:
    made = library("- 0:10 Corvale body jab, blocked.\n")
    by = next(each for each in made.suggest_marks(only="fields") if each.name == "by:corvale")
    undo = made.apply(made.plan_rejection(by.segment, by.name))
    assert "by:corvale" not in _fields(made, 1).values()
    assert "outcome:blocked" in _fields(made, 1).values()
    made.undo(undo)
    assert "by:corvale" in _fields(made, 1).values()


OWN = "- 0:10 Corvale lands the jab, and Brandaal's hook misses. #jab by:corvale outcome:landed\n"


def test_a_tag_of_another_clause_is_written_with_its_own_fields(library: Make, fightnotes: Run) -> None:
    made = library(OWN)
    tag = next(each for each in made.suggest(above=0.0) if each.concept == "hook" and each.writable)
    assert tag.mark == "#hook(by:brandaal outcome:missed)"
    assert tag.as_json()["mark"] == tag.mark
    words = ("suggest", "--library", made.root, "--only", "tags", "--take-above", f"{tag.probability - 0.001}")
    assert tag.mark in fightnotes(*words, "--dry-run").stdout
    made.apply(made.plan_marks([(tag.segment, "hook")]))
    assert _notes(made) == OWN.replace("#jab", "#jab #hook(by:brandaal outcome:missed)")


@pytest.mark.parametrize(
    ("note", "tag"),
    [
        ("Corvale lands the jab and the hook. #jab by:corvale outcome:landed", "#hook"),
        ("Corvale lands the jab, misses the hook. #jab by:corvale outcome:landed", "#hook(outcome:missed)"),
        ("Corvale lands the jab, then her hook, blocked. #jab by:corvale outcome:landed", "#hook(outcome:blocked)"),
        ("Corvale jab lands. Brandaal with the hook. #jab by:corvale outcome:landed", "#hook(by:brandaal)"),
        ("Corvale jab lands. She doesn't land the hook. #jab by:corvale outcome:landed", "#hook(outcome:failed)"),
        ("Corvale jab lands, a hook from Brandaal. #jab", "#hook"),
        ("Corvale jab to the head, hook to the body. #jab by:corvale target:head", "#hook(target:body)"),
        ("Corvale jab lands, something behind it. #jab by:corvale outcome:landed", "#hook"),
    ],
)
def test_what_a_tag_does_not_inherit(library: Make, note: str, tag: str) -> None:
    made = library(f"- 0:10 {note}\n")
    segment = next(each for each in made.store.every_segment().values() if each.kind == "note")
    made.apply(made.plan_marks([(segment, "hook")]))
    assert f" {tag}" in _notes(made)
    if tag == "#hook":
        assert "#hook(" not in _notes(made)
