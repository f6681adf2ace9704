"""`fightnotes find`, as a person or a script calls it."""

from __future__ import annotations

import csv
import io
import json
import os
import re
import shutil
import subprocess
import sys
from inspect import signature
from pathlib import Path
from typing import Any

import pytest
from typer.testing import Result

from fightnotes.cli.filter_options import _filter_options
from fightnotes.model import ACT_KEYS, MOMENT_COLUMNS
from fightnotes.search.filters import Filters
from tests.conftest import MakeLibrary, RunCommand
from tests.search.conftest import root as three_bouts  # noqa: F401  a fixture
from tests.search.samples import NAMES, PLACES

CONTRACT: dict[str, type | tuple[type, ...]] = {
    "bout": str, "file": str, "line": int, "start": (float, type(None)), "end": (float, type(None)), "timed_on": str,
    "round": (int, type(None)), "round_clock": (str, type(None)), "text": str, "tags": list, "by": list, "on": list,
    "outcome": list, "target": list, "score": float, "why": dict,
}  # fmt: skip
"""What a script can hold on to of a hit, and the JSON types of each key."""


@pytest.fixture
def root(three_bouts: Path) -> Path:  # noqa: F811
    return three_bouts


def document(result: Result) -> dict[str, Any]:
    """The one JSON document on standard output."""
    assert result.exit_code == 0
    found: dict[str, Any] = json.loads(result.stdout)
    return found


def named(hits: list[dict[str, Any]]) -> dict[str, dict[str, Any]]:
    return {NAMES.get(f"{hit['file']}:{hit['line']}", ""): hit for hit in hits}


def test_json_keeps_the_contract(root: Path, fightnotes: RunCommand) -> None:
    result = fightnotes("find", "lead foot outside", "--library", root, "--format", "json")
    found = document(result)
    assert found.keys() == {"query", "hits", "notices"}
    assert found["query"] == "lead foot outside"
    for hit in found["hits"]:
        for key, kind in CONTRACT.items():
            assert isinstance(hit[key], kind), key
    scores = [hit["score"] for hit in found["hits"]]
    assert scores == sorted(scores, reverse=True)
    hit = named(found["hits"])["outside landed"]
    shown = {key: hit[key] for key in CONTRACT if key not in ("score", "why")}
    assert shown == {
        "bout": "corvale-brandaal-2031", "file": "bouts/first.md", "line": 19, "start": 20.0, "end": 25.0,
        "timed_on": "footage", "round": 1, "round_clock": "1:50-1:45",
        "text": "Corvale plants the lead foot outside and the left hand follows.", "tags": ["outside-step"],
        "by": ["corvale"], "on": ["brandaal"], "outcome": ["landed"], "target": ["head"],
    }  # fmt: skip
    assert hit["why"]["words"] == ["lead", "foot", "outside"]
    assert hit["link"] == "media/first%20bout.mp4#t=20,25"


def test_a_bout_without_bells_has_its_round_clock_and_no_seconds(root: Path, fightnotes: RunCommand) -> None:
    result = fightnotes("find", "", "--bout", "brandaal-iturbena-2030", "--library", root, "--format", "json")
    hit = named(document(result)["hits"])["bait worked"]
    assert [hit[key] for key in ("start", "end", "round", "round_clock", "link")] == [None, None, 2, "1:10-1:00", None]
    table = fightnotes("find", "hands down", "--bout", "brandaal-iturbena-2030", "--library", root)
    assert "R2 1:10-1:00" in table.stdout


def test_speech_over_the_footage_has_its_own_time_and_its_place_in_the_bout(root: Path, fightnotes: RunCommand) -> None:
    hits = document(fightnotes("find", "", "--in", "transcripts", "--library", root, "--format", "json"))["hits"]
    speech = named(hits)["speech"]
    assert [speech[key] for key in ("timed_on", "start", "end")] == ["breakdown", 15.0, 19.0]
    assert [speech[key] for key in ("footage_start", "footage_end", "round")] == [35.0, 39.0, 1]
    outside = named(hits)["gloves"]
    assert [outside[key] for key in ("start", "footage_start", "round", "round_clock")] == [50.0, None, None, None]
    assert "0:15-0:19 of breakdown" in fightnotes("find", "", "--in", "transcripts", "--library", root).stdout


@pytest.mark.parametrize(
    ("query", "place"),
    [
        ("walk to the ring", "before the first bell"),
        ("stool corner jabs", "rest after R1"),
        ("referee embrace", "after R3, the last"),
        ("asked about the tape", "untimed"),
    ],
)
def test_a_moment_outside_of_the_rounds_says_so(root: Path, fightnotes: RunCommand, query: str, place: str) -> None:
    result = fightnotes("find", query, "--library", root, "--limit", "1", "--bout", "corvale-brandaal-2031")
    assert place in result.stdout


def test_csv(root: Path, fightnotes: RunCommand) -> None:
    result = fightnotes("find", "hook answer over the top", "--library", root, "--format", "csv", "--limit", "3")
    rows = list(csv.DictReader(io.StringIO(result.stdout)))
    assert CONTRACT.keys() <= rows[0].keys()
    row = next(row for row in rows if f"{row['file']}:{row['line']}" == PLACES["hook and counter"])
    assert row["tags"] == "body-hook over-the-top-counter"
    assert row["outcome"] == "blocked landed"
    assert row["why"].startswith("words ")


def test_timestamps_to_paste_under_each_recording(root: Path, fightnotes: RunCommand) -> None:
    words = ("find", "", "--bout", "corvale-brandaal-2031", "--library", root, "--format", "timestamps")
    result = fightnotes(*words)
    assert result.stderr == "left out, without media time: bouts/first.md:15\n"
    lists = [block.split("\n") for block in result.stdout.strip().split("\n\n")]
    assert [block[0] for block in lists] == ["Corvale v Brandaal", "Corvale v Brandaal, breakdown"]
    footage = lists[0][1:]
    assert footage[0] == "0:05 They walk to the ring, nothing yet."
    times = [re.match(r"(\d+):(\d\d) ", line) for line in footage]
    seconds = [int(time[1]) * 60 + int(time[2]) for time in times if time]
    assert len(seconds) == len(footage)
    assert seconds == sorted(seconds)
    assert all(re.match(r"\d+:\d\d So Corvale|\d+:\d\d And brand new", line) for line in lists[1][1:])


def test_an_answer_to_paste(root: Path, fightnotes: RunCommand) -> None:
    result = fightnotes(
        "find", "--bout", "corvale-brandaal-2031", "--library", root, "--format", "markdown", "-n", "99"
    )
    cited = result.stdout.split("\n\n")
    answers = dict(zip(cited[::2], cited[1::2], strict=False))
    bout = "Corvale v Brandaal, 2031-03-08, "
    first = "> Corvale plants the lead foot outside and the left hand follows."
    place = "[bouts/first.md:19](bouts/first.md#line=18,19)"
    assert answers[first] == f"{bout}R1 1:50-1:45, [0:20-0:25](media/first%20bout.mp4#t=20,25), {place}"
    speech = "> So Corvale takes the outside foot position. And the left hand goes straight in."
    assert "R1 1:35-1:31, [0:15-0:19 of breakdown](media/talk.mp4#t=15,19), [transcripts/talk.vtt:4]" in answers[speech]
    untimed = "> Before the bout both were asked about the tape."
    assert answers[untimed] == f"{bout}untimed, [bouts/first.md:15](bouts/first.md#line=14,15)"
    away = fightnotes(
        "find", "hands down", "--bout", "brandaal-iturbena-2030", "--library", root, "--format", "markdown"
    )
    assert (
        "Brandaal v Iturbeña, 2030-06-01, R2 1:10-1:00, [bouts/second.md:11](bouts/second.md#line=10,11)" in away.stdout
    )


def test_the_table_reads_at_80_columns(root: Path, fightnotes: RunCommand, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "80")
    table = fightnotes("find", "outside step", "--library", root).stdout
    assert max(len(line) for line in table.splitlines()) <= 80
    assert all(bout in table for bout in ("corvale-brandaal-2031", "bouts/first.md:19"))
    for line in ("R1 1:50-1:45", "0:20-0:25", "#outside-step by:corvale", "why: words"):
        assert line in table


def test_the_table_names_other_notes_of_the_moment(root: Path, fightnotes: RunCommand) -> None:
    table = fightnotes("find", "foot outside, left hand", "--round", "1", "--library", root).stdout
    one_line = " ".join(table.split())
    both = (PLACES["outside landed"], PLACES["outside, dv"])
    assert f"{both[0]}, {both[1]}" in one_line or f"{both[1]}, {both[0]}" in one_line


def test_messages_go_to_standard_error_only(root: Path, fightnotes: RunCommand) -> None:
    for format in ("table", "json", "csv", "timestamps"):
        result = fightnotes("find", "Corvale doesn't step outsyde", "--library", root, "--format", format)
        assert result.exit_code == 0
        for message in ("read as corvale, who acts", "read as “outside”", "denies something"):
            assert message in result.stderr
        assert format == "json" or "denies something" not in result.stdout
    assert not fightnotes("find", "outside step", "--library", root).stderr


def test_no_hit(root: Path, fightnotes: RunCommand) -> None:
    result = fightnotes("find", '"outside stepp"', "--library", root)
    assert (result.exit_code, result.stdout) == (0, "")
    assert result.stderr == "no moment answers this; the nearest label is “outside step”\n"
    found = document(fightnotes("find", '"outside stepp"', "--library", root, "--format", "json"))
    assert (found["hits"], found["notices"]) == ([], ["no moment answers this; the nearest label is “outside step”"])


def test_nothing_asked(root: Path, fightnotes: RunCommand) -> None:
    result = fightnotes("find", "--library", root)
    assert (result.exit_code, result.stdout) == (0, "")
    assert result.stderr == "nothing is asked: say what happened, or give a filter\n"


def test_filters_alone_list_what_passes(root: Path, fightnotes: RunCommand) -> None:
    result = fightnotes("find", "--tag", "open-guard-bait", "--library", root, "--format", "json")
    assert list(named(document(result)["hits"])) == ["bait taken", "bait worked", "bait refused"]


def test_limit_and_spread(root: Path, fightnotes: RunCommand) -> None:
    words = ("find", "jab and lead foot", "--library", root, "--format", "json")
    assert len(document(fightnotes(*words, "--limit", "2"))["hits"]) == 2
    assert document(fightnotes(*words, "--limit", "2", "--spread"))["hits"]
    assert fightnotes(*words, "--limit", "0").exit_code == 2


@pytest.mark.parametrize("rounds", ["x", "3-1", "1-2-3", "-1", "2-x", "²"])
def test_rounds_that_are_none(root: Path, fightnotes: RunCommand, rounds: str) -> None:
    result = fightnotes("find", "jab", f"--round={rounds}", "--library", root)
    assert result.exit_code == 2
    assert "--round" in result.stderr


@pytest.mark.parametrize(
    "words", [("--since", "yesterday"), ("--corner", "green"), ("--pairing", "square"), ("--format", "xml")]
)
def test_wrong_usage(root: Path, fightnotes: RunCommand, words: tuple[str, ...]) -> None:
    result = fightnotes("find", "jab", *words, "--library", root)
    assert (result.exit_code, result.stdout) == (2, "")


def test_each_filter_is_an_option() -> None:
    assert list(signature(_filter_options).parameters) == list(Filters.model_fields)


def test_each_field_of_an_act_is_a_column_and_a_filter() -> None:
    assert set(ACT_KEYS) <= set(MOMENT_COLUMNS) & set(Filters.model_fields)


def test_a_library_that_was_never_built(make_library: MakeLibrary, fightnotes: RunCommand) -> None:
    root = make_library({})
    result = fightnotes("find", "jab", "--library", root)
    assert (result.exit_code, result.stdout) == (1, "")
    assert f"run `fightnotes build --library {root}`" in result.stderr


def test_a_library_without_notes(make_library: MakeLibrary, fightnotes: RunCommand) -> None:
    root = make_library({})
    assert fightnotes("build", "--library", root).exit_code == 0
    for words in (("jab",), ("jab", "--round", "1"), ('"jab"',), ("",), ("", "--round", "1")):
        result = fightnotes("find", *words, "--library", root)
        assert (result.exit_code, result.stdout) == (0, "")
        assert result.stderr


def test_no_library(tmp_path: Path, fightnotes: RunCommand, monkeypatch: pytest.MonkeyPatch) -> None:
    result = fightnotes("find", "jab", "--library", tmp_path / "none")
    assert (result.exit_code, result.stdout) == (2, "")
    monkeypatch.chdir(tmp_path)
    result = fightnotes("find", "jab")
    assert result.exit_code == 2
    assert "--library DIR" in result.stderr


def test_the_library_above_the_current_folder(
    root: Path, fightnotes: RunCommand, monkeypatch: pytest.MonkeyPatch
) -> None:
    for folder in (root, root / "bouts"):
        monkeypatch.chdir(folder)
        assert "bouts/first.md:19" in fightnotes("find", "lead foot outside").stdout


def test_files_that_changed_since_the_build_are_told(root: Path, tmp_path: Path, fightnotes: RunCommand) -> None:
    copy = tmp_path / "copy"
    shutil.copytree(root, copy)
    assert not fightnotes("find", "lead foot outside", "--library", copy).stderr
    note = copy / "bouts/first.md"
    note.write_text(note.read_text(encoding="utf-8") + "- 8:40 Home.\n", encoding="utf-8")
    (copy / "bouts/second.md").unlink()
    result = fightnotes("find", "lead foot outside", "--library", copy, "--format", "json")
    assert document(result)["hits"]
    assert "files changed since the last build: 2" in result.stderr
    assert "fightnotes build" in result.stderr


def test_a_cold_query_imports_neither_torch_nor_transformers(root: Path) -> None:
    program = (
        "import sys\nfrom fightnotes.cli.main import app\n"
        "app(['find', 'lead foot outside', '--format', 'json'], standalone_mode=False)\n"
        "print(sorted({'torch', 'transformers', 'sentence_transformers'} & sys.modules.keys()), file=sys.stderr)"
    )
    done = subprocess.run(
        [sys.executable, "-c", program], cwd=root, capture_output=True, text=True, check=True, env={**os.environ}
    )
    assert json.loads(done.stdout)["hits"]
    assert done.stderr == "[]\n"
