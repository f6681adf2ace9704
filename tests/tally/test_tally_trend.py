"""`fightnotes tally --trend` and `fightnotes compare`."""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from fightnotes.library import open_library
from fightnotes.tally.count_trend import count_trend
from fightnotes.tally.difference import Side, difference_of_rates, difference_of_successes
from tests.conftest import MakeLibrary, RunCommand
from tests.tally.samples import RISING, VOCABULARY


def test_more_and_more(rising_library: Path, fightnotes: RunCommand) -> None:
    words = ("tally", "concept", "round", "--bout", "rise", "--trend", "--library", str(rising_library))
    table = fightnotes(*words).stdout
    found = json.loads(fightnotes(*words, "--format", "json").stdout)["trends"]
    expected = count_trend(range(1, 9), RISING, [1.0] * 8, ["rise"] * 8)
    assert expected.effect
    (steps,) = [trend for trend in found if trend["value"] == "inside-step"]
    assert steps["count"] == sum(RISING)
    assert steps["effect"]["value"] == pytest.approx(expected.effect.value, rel=1e-4)
    assert steps["p"] == pytest.approx(expected.p_value, rel=1e-4)
    assert steps["says"].startswith("from about ")
    assert steps["says"].endswith(" a round")
    assert steps["says"] in " ".join(table.split())
    rows = list(csv.DictReader(io.StringIO(fightnotes(*words, "--format", "csv").stdout)))
    assert [row["says"] for row in rows] == [trend["says"] for trend in found]


def test_what_is_too_few_or_not_clear_is_said(rising_library: Path, fightnotes: RunCommand) -> None:
    few = fightnotes("tally", "round", "--bout", "flat", "--trend", "--library", rising_library).stdout
    assert "too few to say: 2 events, and 10 are needed" in few
    shares = ("tally", "round", "--bout", "rise", "--trend", "--show", "success", "--library", str(rising_library))
    (trend,) = json.loads(fightnotes(*shares, "--format", "json").stdout)["trends"]
    assert (trend["of"], trend["says"]) == ("share", "no clear trend")
    assert "no clear trend" in fightnotes(*shares).stdout


def test_rounds_without_a_step_count_in_the_trend(rising_library: Path, fightnotes: RunCommand) -> None:
    """Round 1 was noted and has none: a zero; `flat` has rounds in which the other fighter does nothing."""
    found = open_library(rising_library).tally("fighter", "round", trend="per-round")
    assert found.column_values == tuple(range(1, 9))
    assert [found.figures("quell", number).count for number in found.column_values] == list(RISING)
    assert found.figures("quell", 1).looked_for


@pytest.fixture
def compared(rising_library: Path, fightnotes: RunCommand) -> dict[str, Any]:
    result = fightnotes("compare", "Ada Quell", "marvane", "--library", rising_library, "--format", "json")
    found: dict[str, Any] = json.loads(result.stdout)
    return found


def test_two_fighters_side_by_side(compared: dict[str, Any], rising_library: Path, fightnotes: RunCommand) -> None:
    assert (compared["first"], compared["second"], compared["unit"]) == ("quell", "marvane", "round")
    (steps,) = [each for each in compared["concepts"] if each["concept"] == "inside-step"]
    assert (steps["first"]["count"], steps["second"]["count"]) == (27, 2)
    assert steps["first"]["noted_rounds"] == 12
    assert steps["rates"]["effect"]["value"] == pytest.approx(27 / 2, abs=1e-3)
    assert steps["rates"]["more_often"] == "first"
    assert steps["success"]["effect"]["value"] == pytest.approx(15 / 27 - 1, abs=1e-4)
    table = fightnotes("compare", "Ada Quell", "marvane", "--library", rising_library).stdout
    assert "quell more often" in table
    assert "quell: noted: 12 of 12 rounds of 2 bouts, 36 minutes" in table
    sheet = fightnotes("compare", "quell", "marvane", "--library", rising_library, "--format", "csv").stdout
    assert {row["more_often"] for row in csv.DictReader(io.StringIO(sheet))} == {"first"}


def test_two_bouts_and_before_a_day(rising_library: Path, fightnotes: RunCommand) -> None:
    for words in (("rise", "flat"), ("--before", "2032-01-01")):
        result = fightnotes("compare", *words, "--library", rising_library, "--format", "json")
        steps = json.loads(result.stdout)["concepts"][0]
        assert (steps["first"]["count"], steps["second"]["count"]) == (27, 2)
        assert (steps["first"]["noted_rounds"], steps["second"]["noted_rounds"]) == (8, 4)
    his = fightnotes("compare", "quell", "--before", "2032-01-01", "--library", rising_library).stdout
    assert "quell before 2032-01-01" in his


@pytest.mark.parametrize(
    "words", [(), ("quell",), ("quell", "quell"), ("quell", "flat"), ("quell", "nobody"), ("a", "b", "c"),
              ("quell", "marvane", "--before", "2032-01-01")],
    ids=" ".join,
)  # fmt: skip
def test_sides_that_cannot_be_told_apart(rising_library: Path, fightnotes: RunCommand, words: tuple[str, ...]) -> None:
    result = fightnotes("compare", *words, "--library", rising_library)
    assert (result.exit_code, result.stdout) == (2, "")


@pytest.mark.parametrize(
    ("words", "message"),
    [
        (("quell", "Ada Quell"), "both names are quell"),
        (("rise", "RISE"), "both names are rise"),
        (("quell", "flat"), "flat is a bout, and quell a fighter: name two"),
        (("rise", "flot"), "no fighter or bout 'flot'; near it: flat"),
    ],
)
def test_it_is_said_which_side_is_wrong(
    rising_library: Path, fightnotes: RunCommand, words: tuple[str, ...], message: str
) -> None:
    assert message in fightnotes("compare", *words, "--library", rising_library).stderr


def test_what_is_said_below_is_of_the_two_sides_and_knows_one_from_many(
    make_library: MakeLibrary, fightnotes: RunCommand
) -> None:
    head = '---\nrounds: {count: 1, length: "3:00"}\nblue: {name: Bo Marvane}\n'
    a = "bout: a\nred: {name: Ada Quell}\ndate: 2031-01-01\n---\n- R1 1:00 #jab by:quell\n- #jab by:marvane\n"
    b = "bout: b\nred: {name: Cy Thole}\n---\nOnce. #clinch by:thole\n"
    root = make_library({"vocabulary.yaml": VOCABULARY, "bouts/a.md": head + a, "bouts/b.md": head + b})
    open_library(root).build()
    sides = fightnotes("compare", "quell", "marvane", "--library", root).stdout
    assert "in no noted round, and so in no rate: 1 of 2 acts" in sides
    assert "from 1 bout, and so about this alone" in sides
    assert "without a date: 1 bout\n" in fightnotes("compare", "--before", "2031-01-02", "--library", root).stdout
    counted = fightnotes("tally", "round", "--bout", "a", "--trend", "--library", root).stdout
    assert "too few to say: 1 level, and 3 are needed" in counted
    timeline = fightnotes("timeline", "a", "--library", root).stdout
    assert "left out, at no time of a round: 1 act\n" in timeline


def side(counts: list[float], of: list[float]) -> Side:
    return Side(np.array(counts), np.array(of), np.zeros(len(of), dtype=np.intp))


def test_a_side_whose_rounds_differ_more_than_chance_is_less_sure() -> None:
    even, wild = side([4.0] * 6, [1.0] * 6), side([24.0, 0, 0, 0, 0, 0], [1.0] * 6)
    other = side([1.0] * 6, [1.0] * 6)
    steady, doubtful = difference_of_rates(even, other), difference_of_rates(wild, other)
    assert steady.effect
    assert doubtful.effect
    assert steady.effect.value == pytest.approx(4)
    assert doubtful.effect.value == pytest.approx(4)
    assert (steady.p_value or 1) < 0.01
    assert (doubtful.p_value or 0) > 0.05
    assert doubtful.effect.low < 1 < steady.effect.low


def test_differences_of_too_few_are_not_told() -> None:
    assert difference_of_rates(side([4.0], [1.0]), side([5.0], [1.0])).too_few == "9 events, and 10 are needed"
    assert difference_of_rates(side([9.0], [1.0]), side([9.0], [1.0])).too_few == "too few noted rounds"
    assert difference_of_successes(side([], []), side([9.0], [20.0])).effect is None
