"""`fightnotes tally`, on a library whose acts were counted by hand."""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path
from typing import Any, get_args

import pytest

from fightnotes.cli.tally import By
from fightnotes.tally.dimensions import DIMENSIONS, DimensionName
from tests.conftest import MakeLibrary, RunCommand
from tests.tally.samples import VOCABULARY

BOUT = ("--bout", "quell-marvane")


def told(fightnotes: RunCommand, root: Path, *words: str) -> dict[str, Any]:
    result = fightnotes("tally", *words, "--library", root, "--format", "json")
    assert result.exit_code == 0, result.stderr
    found: dict[str, Any] = json.loads(result.stdout)
    return found


def counts(found: dict[str, Any]) -> dict[Any, int]:
    """What was counted, by row, or by row and column; zeros left out."""
    key = (lambda cell: (cell["row"], cell["column"])) if found["columns"] else (lambda cell: cell["row"])
    return {key(cell): cell["count"] for cell in found["cells"] if cell["count"]}


def of_row(found: dict[str, Any], row: Any) -> dict[str, Any]:
    (cell,) = [cell for cell in found["cells"] if cell["row"] == row]
    return cell


def test_a_concept_stands_for_its_narrower_ones_and_each_act_is_one(
    counted_library: Path, fightnotes: RunCommand
) -> None:
    found = told(fightnotes, counted_library, "concept", "round", *BOUT)
    assert counts(found) == {
        ("footwork", 1): 2, ("footwork", 3): 2, ("footwork", None): 1,
        ("inside-step", 1): 1, ("inside-step", 3): 2, ("inside-step", None): 1,
        ("outside-step", 1): 1, ("jab", 1): 2, ("jab", 3): 1, ("clinch", 1): 1,
    }  # fmt: skip
    assert [(total["column"], total["count"]) for total in found["of_columns"]] == [(1, 5), (3, 3), (None, 1)]
    assert found["all"]["count"] == 9


def test_alone_takes_a_concept_without_its_narrower_ones(counted_library: Path, fightnotes: RunCommand) -> None:
    found = told(fightnotes, counted_library, "concept", *BOUT, "--alone")
    assert counts(found) == {"inside-step": 4, "outside-step": 1, "jab": 3, "clinch": 1}
    assert counts(told(fightnotes, counted_library, "concept", *BOUT, "--tag", "footwork", "--alone")) == {}


def test_notes_of_one_act_fold_and_the_first_says_its_outcome(counted_library: Path, fightnotes: RunCommand) -> None:
    found = told(fightnotes, counted_library, "concept", *BOUT)
    (outside,) = of_row(found, "outside-step")["acts"]
    assert (outside["line"], outside["also"]) == (15, ["second/a.md:3"])
    assert (outside["outcome"], outside["analysts"], outside["round_clock"]) == (["missed"], ["mk", "dv"], "1:30")
    first = of_row(found, "inside-step")["acts"][0]
    assert (first["concept"], first["also"]) == ("inside-step", ["second/a.md:2"])
    jabs = {act["by"][0]: act["also"] for act in of_row(found, "jab")["acts"] if act["round"] == 1}
    assert jabs == {"quell": ["second/a.md:4"], "marvane": []}


def test_a_filter_holds_for_the_act_and_not_for_its_neighbours(counted_library: Path, fightnotes: RunCommand) -> None:
    assert counts(told(fightnotes, counted_library, "concept", *BOUT, "--by", "marvane")) == {"jab": 2, "clinch": 1}
    assert counts(told(fightnotes, counted_library, "outcome", *BOUT, "--tag", "jab", "--by", "quell")) == {"landed": 1}
    missed = told(fightnotes, counted_library, "fighter", *BOUT, "--outcome", "missed")
    assert counts(missed) == {"quell": 1, "marvane": 1}
    both = told(fightnotes, counted_library, "fighter", *BOUT, "--tag", "jab", "--tag", "clinch")
    assert counts(both) == {}


def test_two_fighters_in_one_note_count_for_both_and_once_in_all(counted_library: Path, fightnotes: RunCommand) -> None:
    found = told(fightnotes, counted_library, "fighter", *BOUT)
    assert counts(found) == {"quell": 7, "marvane": 3}
    assert found["all"]["count"] == 9
    assert counts(told(fightnotes, counted_library, "fighter", *BOUT, "--by", "quell")) == {"quell": 7}


def test_opponent_and_the_stance_that_he_holds_then(counted_library: Path, fightnotes: RunCommand) -> None:
    steps = ("--tag", "inside-step", *BOUT)
    assert counts(told(fightnotes, counted_library, "opponent", *steps)) == {"marvane": 4}
    found = told(fightnotes, counted_library, "stance", "round", *steps)
    assert counts(found) == {
        ("orthodox", 1): 1, ("orthodox", 3): 1, ("southpaw", 3): 1, ("southpaw", None): 1,
    }  # fmt: skip
    assert found["cells"][0]["per_round"] is None
    assert any("how long" in notice for notice in found["notices"])
    assert counts(told(fightnotes, counted_library, "pairing", *steps)) == {"open": 2, "closed": 2}


def test_an_unnoted_round_is_no_zero_and_a_stopped_one_ends_there(
    counted_library: Path, fightnotes: RunCommand
) -> None:
    found = told(fightnotes, counted_library, "concept", "round", *BOUT, "--tag", "inside-step")
    minutes = found["coverage"].pop("minutes")
    assert found["coverage"] == {"noted": 2, "rounds": 3, "bouts": 1, "without_length": 0}
    assert minutes == pytest.approx(2 + 110 / 60, abs=0.001)
    assert [cell["column"] for cell in found["cells"]] == [1, 3, None]
    last = found["cells"][1]
    assert (last["count"], last["noted_rounds"], last["noted_minutes"]) == (2, 1, pytest.approx(110 / 60, abs=0.001))
    (row,) = found["of_rows"]
    assert (row["count"], row["in_noted_rounds"], row["noted_rounds"]) == (4, 3, 2)
    assert row["per_round"]["value"] == pytest.approx(3 / (1 + 110 / 120), abs=1e-5)
    assert row["per_minute"]["value"] == pytest.approx(3 / (2 + 110 / 60), abs=1e-5)
    table = fightnotes("tally", "concept", "round", *BOUT, "--library", counted_library)
    assert "noted: 2 of 3 rounds of 1 bout, 4 minutes" in table.stdout
    assert "in no noted round, and so in no rate: 1 of 9 acts" in table.stdout
    assert "observed, not what caused it" in table.stdout


def test_what_one_analyst_did_not_note_is_no_zero_of_his(counted_library: Path, fightnotes: RunCommand) -> None:
    found = told(fightnotes, counted_library, "concept", "analyst", *BOUT, "--round", "1-2")
    assert (found["coverage"]["noted"], found["coverage"]["rounds"]) == (1, 2)
    clinch = {cell["column"]: cell for cell in found["cells"] if cell["row"] == "clinch"}
    assert {analyst: (cell["count"], cell["noted_rounds"]) for analyst, cell in clinch.items()} == {
        "mk": (1, 1),
        "dv": (0, 1),
    }
    alone = told(fightnotes, counted_library, "concept", *BOUT, "--analyst", "dv")
    assert counts(alone) == {"jab": 2, "footwork": 2, "outside-step": 1}
    assert of_row(alone, "outside-step")["succeeded"] == 1  # dv says that it landed


def test_success_is_a_share_of_the_acts_with_an_outcome(counted_library: Path, fightnotes: RunCommand) -> None:
    steps = of_row(told(fightnotes, counted_library, "concept", *BOUT), "inside-step")
    assert [steps[key] for key in ("count", "with_outcome", "succeeded", "partial")] == [4, 2, 1, 1]
    assert steps["success"]["value"] == 0.5
    assert steps["success"]["low"] == pytest.approx(0.0945, abs=0.001)  # Wilson, 1 of 2
    table = fightnotes("tally", "concept", *BOUT, "--library", counted_library).stdout
    assert "1 of 2: 50 % (9-91 %), 1 partial" in table
    assert "success: landed, worked, hurt, knockdown, stoppage" in table


def test_a_bout_without_rounds_is_counted_and_has_no_rate(counted_library: Path, fightnotes: RunCommand) -> None:
    found = told(fightnotes, counted_library, "concept", "round", "--bout", "quell-oduro")
    assert counts(found) == {("jab", None): 1, (None, None): 1}
    assert found["coverage"] == {"noted": 0, "rounds": 0, "bouts": 1, "minutes": 0, "without_length": 0}
    assert all(cell["per_round"] is None for cell in found["cells"])
    by_year = told(fightnotes, counted_library, "year", "--tag", "jab")
    assert counts(by_year) == {"2031": 3, "2032": 1}
    assert counts(told(fightnotes, counted_library, "month", "--until", "2031-12-31")) == {"2031-03": 9}


def test_inferred_acts_count_when_they_are_asked_for(counted_library: Path, fightnotes: RunCommand) -> None:
    spoken = ("fighter", "--in", "transcripts")
    assert counts(told(fightnotes, counted_library, *spoken)) == {}
    assert counts(told(fightnotes, counted_library, *spoken, "--inferred")) == {"quell": 1}
    both = told(fightnotes, counted_library, "concept", *BOUT, "--inferred")
    assert of_row(both, "inside-step")["acts"][0]["also"] == ["second/a.md:2", "second/a.vtt:4"]
    assert both["all"]["count"] == 10
    (turned,) = of_row(both, None)["acts"]  # "Marvane turns round"
    assert (turned["line"], turned["by"]) == (21, ["marvane"])
    refused = fightnotes("tally", "fighter", "--inferred", "--written", "--library", counted_library)
    assert refused.exit_code == 2


def test_a_number_opens_into_its_moments(counted_library: Path, fightnotes: RunCommand) -> None:
    words = ("tally", "concept", "round", *BOUT, "--library", str(counted_library))
    cell = fightnotes(*words, "--row", "lead foot inside", "--column", "3")
    assert [place in cell.stdout for place in ("a.md:20", "a.md:22", "a.md:14")] == [True, True, False]
    row = json.loads(fightnotes(*words, "--row", "Inside Step", "--format", "json").stdout)
    assert [hit["line"] for hit in row["hits"]] == [14, 20, 22, 25]
    fighter = fightnotes("tally", "fighter", *BOUT, "--row", "Bo Marvane", "--library", counted_library)
    assert [place in fighter.stdout for place in ("a.md:16", "a.md:17", "second/a.md:7")] == [True] * 3
    untimed = fightnotes(*words, "--column", "no round")
    assert "a.md:25" in untimed.stdout
    unknown = fightnotes(*words, "--row", "hook")
    assert (unknown.exit_code, unknown.stdout) == (2, "")


def test_the_command_names_all_dimensions() -> None:
    assert get_args(By) == get_args(DimensionName) == tuple(DIMENSIONS)


def test_csv_has_a_row_for_each_cell(counted_library: Path, fightnotes: RunCommand) -> None:
    result = fightnotes("tally", "concept", "round", *BOUT, "--library", counted_library, "--format", "csv")
    rows = list(csv.DictReader(io.StringIO(result.stdout)))
    (cell,) = [row for row in rows if (row["row"], row["column"]) == ("inside-step", "3")]
    assert (cell["count"], cell["places"]) == ("2", "bouts/a.md:20 bouts/a.md:22")
    assert float(cell["per_round_low"]) < float(cell["per_round"]) < float(cell["per_round_high"])
    assert "noted: 2 of 3 rounds" in result.stderr


@pytest.mark.parametrize("show", ["acts", "per-round", "per-minute", "success"])
def test_cells_show_what_is_asked(counted_library: Path, fightnotes: RunCommand, show: str) -> None:
    table = fightnotes("tally", "concept", "round", *BOUT, "--show", show, "--library", counted_library).stdout
    (line,) = [line for line in table.splitlines() if line.startswith("outside-step")]
    shown = {"acts": "1", "per-round": "1 (0.025-5.6)", "per-minute": "0.5 (0.013-2.8)", "success": "0 of 1: 0 %"}[show]
    assert shown in line


@pytest.mark.parametrize(
    "words",
    [
        ("round", "round"),
        ("hook",),
        ("concept", "--trend"),
        ("concept", "--column", "1"),
        ("stance", "round", "--trend"),
        ("concept", "round", "--trend", "--row", "jab"),
        ("concept", "--by", "nobody"),
    ],
    ids=" ".join,
)
def test_wrong_usage(counted_library: Path, fightnotes: RunCommand, words: tuple[str, ...]) -> None:
    result = fightnotes("tally", *words, "--library", counted_library)
    assert (result.exit_code, result.stdout) == (2, "")


def test_an_empty_library_and_hostile_notes(make_library: MakeLibrary, fightnotes: RunCommand) -> None:
    root = make_library({"vocabulary.yaml": VOCABULARY})
    assert fightnotes("tally", "concept", "--library", root).exit_code == 1  # never built
    assert fightnotes("build", "--library", root).exit_code == 0
    for words in (("concept",), ("concept", "round"), ("round", "--trend"), ("concept", "round", "--trend")):
        empty = fightnotes("tally", *words, "--library", root)
        assert empty.exit_code == 0
        assert "noted: 0 of 0 rounds of 0 bouts" in empty.stdout
    head = '---\nbout: "=cmd \\e[31m"\nred: {name: "A\\u202eQuell", id: "=quell"}\n---\n'
    (root / "bouts").mkdir()
    (root / "bouts/a.md").write_text(
        f"{head}- R1 0:10 \x1b]0;owned\x07 #jab by:=quell analyst:=1+1\n", encoding="utf-8"
    )
    fightnotes("build", "--library", root)
    for by in ("bout", "analyst", "concept"):
        table = fightnotes("tally", by, "--library", root).stdout
        assert "\x1b" not in table
        assert "\u202e" not in table
    sheet = fightnotes("tally", "bout", "--library", root, "--format", "csv").stdout
    assert not any(line.startswith("=") for line in sheet.splitlines())


def test_many_acts_of_one_moment_are_folded_in_little_time(make_library: MakeLibrary, fightnotes: RunCommand) -> None:
    """4,000 tags that stand at one second, half of them told a second time without a tag."""
    head = "---\nbout: a\nred: {name: Ada Quell}\nblue: {name: Bo Marvane}\nmedia: {file: a.mp4}\n---\n"
    notes = [f"- 0:10 x #t{number}" for number in range(4000)] + ["- 0:10 x by:quell"] * 2000
    root = make_library({"bouts/a.md": head + "\n".join(notes) + "\n"})
    assert fightnotes("build", "--library", root).exit_code == 0
    found = told(fightnotes, root, "bout")
    assert found["all"]["count"] == 4000
