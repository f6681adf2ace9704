"""`fightnotes sheet`: every number is what `tally` says, and what is handed on holds whatever the notes hold."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import pytest

from fightnotes.briefing.sheet_sections import parts_of
from fightnotes.library import open_library
from fightnotes.search.filters import Filters
from tests.briefing.samples import KINDS_OF_COST, front, library
from tests.conftest import MakeLibrary, RunCommand

Sheet = dict[str, Any]


def sheet_of(fightnotes: RunCommand, root: Path, *words: str) -> Sheet:
    ran = fightnotes("sheet", *words, "--library", root, "--format", "json")
    assert ran.exit_code == 0, ran.stderr
    found: Sheet = json.loads(ran.stdout)
    return found


def section(sheet: Sheet, number: int, title: str) -> Sheet:
    found: Sheet = next(one for one in sheet["fighters"][number]["sections"] if one["title"] == title)
    return found


def lines(one: Sheet) -> dict[str, Sheet]:
    return {line["what"]: line for line in (*one["lines"], *one["too_few"])}


def test_counts_known_by_hand(fightnotes: RunCommand, costly: Path) -> None:
    sheet = sheet_of(fightnotes, costly, "quell", "Bo Marvane")
    assert sheet["title"] == "Ada Quell and Bo Marvane"
    quell, marvane = sheet["fighters"]
    assert [(bout["bout"], bout["together"]) for bout in quell["bouts"]] == [("costly", True), ("elsewhere", False)]
    assert [bout["bout"] for bout in marvane["bouts"]] == ["costly"]
    habits = lines(section(sheet, 0, "Habits"))
    assert habits["inside step"]["figures"]["count"] == 32
    assert habits["inside step"]["against_each_other"] == 32
    assert habits["jab"]["figures"]["count"] == 2
    assert "footwork" not in habits, "it would say the same again"
    assert [one["what"] for one in section(sheet, 0, "Habits")["too_few"]] == ["jab"]


def test_a_trend_over_rounds_stands_with_the_habit(fightnotes: RunCommand, costly: Path) -> None:
    sheet = sheet_of(fightnotes, costly, "quell", "marvane")
    counter, step = lines(section(sheet, 1, "Habits"))["counter"], lines(section(sheet, 0, "Habits"))["inside step"]
    assert any(said.startswith("over the rounds from about") for said in counter["says"])
    assert not any(said.startswith("over the rounds") for said in step["says"])


def test_answers_that_worked(fightnotes: RunCommand, costly: Path) -> None:
    answers = lines(section(sheet_of(fightnotes, costly, "quell", "marvane"), 0, "Answers that worked"))
    told = answers["inside step: counter by Bo Marvane"]
    assert (told["count"], told["of"], told["figures"]) == (15, 32, None)
    assert told["says"][0] == "15 of 32: 47 % (31-64 %)"
    assert len(told["places"]) == 30


def test_seldom_answers_are_moments_and_no_claim(make_library: MakeLibrary, fightnotes: RunCommand) -> None:
    root = make_library(library(kinds=KINDS_OF_COST))
    fightnotes("build", "--library", root)
    answers = section(sheet_of(fightnotes, root, "quell", "marvane"), 0, "Answers that worked")
    assert [(one["what"], one["count"], one["of"]) for one in answers["lines"]] == [("inside step: any", 2, 5)]
    assert {one["what"]: one["count"] for one in answers["too_few"]} == {
        "inside step: counter by Bo Marvane": 1,
        "inside step: jab by Bo Marvane": 1,
    }


@pytest.mark.parametrize(("first", "second"), [("corvale", "brandaal"), ("Kazehori", "Iturbeña")])
def test_every_number_is_what_tally_says(first: str, second: str, demo: Path) -> None:
    opened = open_library(demo)
    sheet = opened.sheet(first, second)
    labels = {concept.label: concept.id for concept in opened.store.vocabulary.concepts}
    looked_at = 0
    for fighter in sheet.fighters:
        mine = Filters(by=(fighter.id,))
        other = next(one for one in sheet.fighters if one is not fighter)
        together = tuple(bout.id for bout in fighter.bouts if bout.together)
        counted = {
            "Habits": (opened.tally("concept", filters=mine), None),
            "Against orthodox": (opened.tally("concept", "stance", mine), "orthodox"),
            "Against southpaw": (opened.tally("concept", "stance", mine), "southpaw"),
        }
        if together:
            against = mine.model_copy(update={"bout": together})
            counted[f"Against {other.name}"] = (opened.tally("concept", filters=against), None)
        for one in fighter.sections:
            tallied, column = counted.get(one.title, (None, None))
            for line in (*one.lines, *one.few) if tallied else ():
                concept = labels.get(line.called, line.called)
                expected = tallied.figures(concept) if column is None else tallied.figures(concept, column)
                assert line.figures is not None
                assert line.figures.as_json() == expected.as_json(), (one.title, line.called)
                looked_at += 1
        opponents = opened.tally("concept", "opponent", mine)
        names = {one.name: one.id for bout in opened.store.bouts.values() for one in bout.fighters}
        works = next(one for one in fighter.sections if one.title == "What works against whom")
        for line in (*works.lines, *works.few):
            called, _, opponent = line.called.partition(" against ")
            if called != "all acts":
                found = opponents.figures(labels.get(called, called), names[opponent])
                assert line.figures is not None
                assert line.figures.as_json() == found.as_json()
        by_round = opened.tally("round", filters=mine)
        for number, figures in fighter.by_round:
            assert figures.as_json() == by_round.figures(number).as_json()
    assert looked_at > 60


def test_thirds_are_sums_of_rounds(fightnotes: RunCommand, costly: Path) -> None:
    told = lines(section(sheet_of(fightnotes, costly, "marvane", "quell"), 0, "Early, middle, late"))["counter"]
    assert [(one["first"], one["last"], one["count"], one["noted_rounds"]) for one in told["parts"]] == [
        (1, 3, 1, 3), (4, 6, 6, 3), (7, 8, 8, 2)
    ]  # fmt: skip
    whole = json.loads(fightnotes("tally", "round", "--by", "marvane", "--library", costly, "--format", "json").stdout)[
        "cells"
    ]
    assert sum(one["count"] for one in told["parts"]) == sum(cell["count"] for cell in whole)


@pytest.mark.parametrize(
    ("rounds", "parts"),
    [
        (12, [("early", 1, 4), ("middle", 5, 8), ("late", 9, 12)]),
        (10, [("early", 1, 4), ("middle", 5, 7), ("late", 8, 10)]),
        (5, [("early", 1, 2), ("middle", 3, 4), ("late", 5, 5)]),
        (1, [("early", 1, 1)]),
        (0, []),
    ],
)
def test_parts(rounds: int, parts: list[tuple[str, int, int]]) -> None:
    assert parts_of(rounds) == parts


def test_ranges_where_the_vocabulary_has_them(make_library: MakeLibrary, fightnotes: RunCommand, demo: Path) -> None:
    root = make_library(library(kinds=KINDS_OF_COST))
    fightnotes("build", "--library", root)
    found = section(sheet_of(fightnotes, root, "quell", "marvane"), 0, "By range")
    assert [one["what"] for one in found["too_few"]] == ["range: jab", "long range: jab"]
    none = section(sheet_of(fightnotes, demo, "corvale", "brandaal"), 0, "By range")
    assert none["unsaid"] == "left out: the vocabulary has no concept called range or distance"


def test_a_fighter_without_notes_and_two_who_have_not_met(fightnotes: RunCommand, costly: Path) -> None:
    sheet = sheet_of(fightnotes, costly, "quell", "silent")
    assert [one["unsaid"] for one in sheet["fighters"][1]["sections"]] == ["no act of Uma Silent is noted"]
    assert section(sheet, 0, "Against Uma Silent")["unsaid"] == "they have not met in this library"
    assert "Uma Silent stands so" in section(sheet, 0, "Against southpaw")["about"]
    assert "none of them against each other" in sheet["notices"][0]


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("quell", "nobody"), "fighter"),
        (("quell", "Ada Quell"), "both names are Ada Quell"),
        (("quell", "marvane", "--by", "quell"), "leave out by"),
        (("quell", "marvane", "--tag", "jab"), "leave out tags"),
        (("quell", "marvane", "--to", "sheet.pdf"), ".html, .md, .json"),
    ],
)
def test_wrong_usage(words: tuple[str, ...], told: str, fightnotes: RunCommand, costly: Path) -> None:
    ran = fightnotes("sheet", *words, "--library", costly)
    assert (ran.exit_code, told in ran.stderr) == (2, True), ran.stderr


def test_filters_narrow_what_it_rests_on(fightnotes: RunCommand, costly: Path) -> None:
    sheet = sheet_of(fightnotes, costly, "quell", "marvane", "--since", "2032-01-01")
    assert [bout["bout"] for bout in sheet["fighters"][0]["bouts"]] == ["elsewhere"]
    assert sheet["fighters"][1]["bouts"] == []


def test_files_by_their_ending(fightnotes: RunCommand, costly: Path, tmp_path: Path) -> None:
    for ending in ("html", "md", "json"):
        ran = fightnotes("sheet", "quell", "marvane", "--library", costly, "--to", tmp_path / f"sheet.{ending}")
        assert (ran.exit_code, ran.stdout) == (0, "")
    page = (tmp_path / "sheet.html").read_text(encoding="utf-8")
    assert page == fightnotes("sheet", "quell", "marvane", "--library", costly, "--format", "html").stdout
    written = (tmp_path / "sheet.md").read_text(encoding="utf-8")
    assert written == fightnotes("sheet", "quell", "marvane", "--library", costly, "--format", "markdown").stdout
    assert json.loads((tmp_path / "sheet.json").read_text(encoding="utf-8"))["title"] == "Ada Quell and Bo Marvane"
    for text in (page, written):
        assert text.replace("\\", "").count("Film study, not coaching") == 1


def test_no_source_is_written_over(make_library: MakeLibrary, fightnotes: RunCommand) -> None:
    root = make_library(library(kinds=KINDS_OF_COST))
    fightnotes("build", "--library", root)
    ran = fightnotes("sheet", "quell", "marvane", "--library", root, "--to", root / "bouts" / "kinds.md")
    assert ran.exit_code != 0
    assert (root / "bouts" / "kinds.md").read_text(encoding="utf-8") == KINDS_OF_COST


def test_every_number_of_a_moment_leads_to_it(fightnotes: RunCommand, costly: Path) -> None:
    page = fightnotes("sheet", "quell", "marvane", "--library", costly, "--format", "html").stdout
    named = set(re.findall(r'href="#(m\d+)"', page))
    assert named
    assert named <= set(re.findall(r'id="(m\d+)"', page))
    assert "<svg" in page


def test_hostile_notes_stay_text(make_library: MakeLibrary, fightnotes: RunCommand) -> None:
    evil = "<script>alert(1)</script> \x1b[31m \u202e [a](javascript:b) | `x`"
    times = (f"{2 - place // 60}:{59 - place:02}" for place in range(0, 40, 5))
    notes = "".join(f"- R1 {time} {evil} #jab by:quell outcome:landed\n" for time in times)
    head = front("evil", 3, blue="<b>Marvane</b>").replace("title: Quell v <b>Marvane</b>", "title: '<i>evil</i>'")
    text = head + notes
    root = make_library(library(evil=text))
    fightnotes("build", "--library", root)
    people = [fighter.id for bout in open_library(root).store.bouts.values() for fighter in bout.fighters]
    for format in ("table", "markdown", "html", "json"):
        ran = fightnotes("sheet", *people, "--library", root, "--format", format)
        assert ran.exit_code == 0, ran.stderr
        assert "\x1b" not in ran.stdout
        assert "\u202e" not in ran.stdout
        if format == "html":
            assert "<script" not in ran.stdout
            assert "<b>" not in ran.stdout
            assert "<i>" not in ran.stdout
        if format == "markdown":
            assert not re.search(r"(?<!\\)<(?!/?sub>)", ran.stdout)


def test_a_library_with_nothing_in_it(make_library: MakeLibrary, fightnotes: RunCommand) -> None:
    root = make_library({"library.yaml": "fighters:\n- {id: a, name: Ana Aster}\n- {id: b, name: Bea Brill}\n"})
    fightnotes("build", "--library", root)
    ran = fightnotes("sheet", "a", "b", "--library", root)
    assert ran.exit_code == 0, ran.stderr
    assert "no act of Ana Aster is noted" in ran.stdout
