"""From moments to a cut list, through `fightnotes cut`."""

from __future__ import annotations

import csv
import io
import json
import re
from pathlib import Path
from typing import get_args

import pytest

from fightnotes.cli.cut import OrderChoice
from fightnotes.cutting import CAUTIONS, ORDERS
from tests.cli.cut.samples import STEPS, cuts_of
from tests.conftest import RunCommand


def test_a_tag_gives_all_its_moments_and_names_the_one_without_media_time(run: RunCommand) -> None:
    made = run("cut", "--tag", "outside step", "--format", "json")
    # R1 0:10-0:09 after a bell at 1 s is 6 to 7 s; with handles of 1 and 0.5 s, 5 to 7.5 s.
    assert cuts_of(made) == [
        ("bouts/first.md:11", 125, 188),
        ("bouts/first.md:14", 675, 738),
        ("bouts/gone.md:11", 75, 138),
    ]
    assert made.exit_code == 0
    assert "bouts/clockless.md:11: untimed: R2 0:03 has no place on a recording" in made.stderr
    assert "gone (footage): footage not at hand" in made.stderr
    document = json.loads(made.stdout)
    assert document["seconds"] == 7.56
    assert [left["file"] for left in document["left_out"]] == ["bouts/clockless.md"]
    assert document["cautions"] == list(CAUTIONS)


def test_the_cautions_are_said_once_beside_the_table_which_adds_up(run: RunCommand) -> None:
    made = run("cut", "--tag", "outside step")
    assert [(made.stdout.count(caution), made.stderr.count(caution)) for caution in CAUTIONS] == [(0, 1), (0, 1)]
    assert "Cut list: 3 cuts, 0:07.56" in made.stdout
    assert all(place in made.stdout for place in STEPS)


def test_csv_has_a_row_for_each_cut(run: RunCommand) -> None:
    rows = list(csv.DictReader(io.StringIO(run("cut", "--tag", "outside step", "--format", "csv").stdout)))
    assert [row["in_timecode"] for row in rows] == ["00:00:05:00", "00:00:27:00", "00:00:03:00"]


def test_hits_are_picked_by_the_numbers_that_find_gives_them(run: RunCommand) -> None:
    found = json.loads(run("find", "outside step", "--by", "corvale", "--format", "json").stdout)["hits"]
    timed = [number for number, hit in enumerate(found, start=1) if hit["start"] is not None]
    wanted = [timed[2], timed[0]]
    made = run("cut", "outside step", "--by", "corvale", "--pick", ",".join(map(str, wanted)), "--format", "json")
    assert [place for place, _, _ in cuts_of(made)] == [
        f"{found[number - 1]['file']}:{found[number - 1]['line']}" for number in wanted
    ]
    assert [cut["relevance"] for cut in json.loads(made.stdout)["cuts"]] == [
        found[number - 1]["score"] for number in wanted
    ]


def test_places_are_cut_in_the_order_given_and_overlapping_ones_become_one(run: RunCommand) -> None:
    at = [word for place in (14, 12, 11) for word in ("--at", f"bouts/first.md:{place}")]
    assert cuts_of(run("cut", *at, "--format", "json")) == [
        ("bouts/first.md:14", 675, 738),
        ("bouts/first.md:12", 275, 338),
        ("bouts/first.md:11", 125, 188),
    ]
    made = run("cut", *at, "--after", "4", "--order", "date", "--format", "json")
    assert cuts_of(made) == [("bouts/first.md:11 bouts/first.md:12", 125, 425), ("bouts/first.md:14", 675, 825)]


def test_cuts_stay_in_their_round_and_on_the_footage(run: RunCommand) -> None:
    """Round 2 is 21 to 36 s of the footage, which ends at 40 s."""
    wide = ("cut", "--at", "bouts/first.md:14", "--before", "0:20", "--after", "20", "--format", "json")
    assert cuts_of(run(*wide)) == [("bouts/first.md:14", 200, 1000)]
    assert cuts_of(run(*wide, "--inside-round")) == [("bouts/first.md:14", 525, 900)]


def test_a_target_length_is_met_by_the_best_moments_spread_over_bouts(run: RunCommand) -> None:
    made = run("cut", "--tag", "outside step", "--length", "0:06", "--format", "json")
    assert [place for place, _, _ in cuts_of(made)] == ["bouts/first.md:11", "bouts/gone.md:11"]
    assert "left out, over the target duration: 1" in made.stderr
    assert made.exit_code == 0


def test_only_what_is_at_hand(run: RunCommand) -> None:
    made = run("cut", "--tag", "outside step", "--at-hand", "--format", "json")
    assert [place for place, _, _ in cuts_of(made)] == STEPS[:2]
    assert "left out, footage not at hand: 1" in made.stderr


def test_cuts_follow_by_outcome(run: RunCommand) -> None:
    made = run("cut", "--bout", "first", "--order", "outcome", "--format", "json")
    assert [place for place, _, _ in cuts_of(made)] == [f"bouts/first.md:{line}" for line in (11, 14, 12)]


def test_the_choices_are_those_of_the_library() -> None:
    assert list(get_args(OrderChoice)) == list(ORDERS)


def test_find_and_cut_take_the_same_filters(fightnotes: RunCommand) -> None:
    options = {
        command: set(re.findall(r"^  (--\w+)", fightnotes(command, "--help").stdout, re.MULTILINE))
        for command in ("find", "cut")
    }
    assert options["find"] - {"--limit", "--open", "--play", "--hit"} <= options["cut"]
    assert {"--by", "--on", "--fighter", "--tag", "--round", "--in", "--since"} <= options["find"]


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ((), "say which moments"),
        (("--pick", "1"), "say which moments"),
        (("step", "--accept"), "name the list"),
        (("--tag", "outside step", "--pick", "1"), "give the query"),
        (("step", "--pick", "40"), "there is no hit 40"),
        (("step", "--pick", "one"), "numbers of hits"),
        (("--at", "bouts/first.md"), "is no place of a note"),
        (("--at", "bouts/none.md:3"), "no notes in bouts/none.md"),
        (("--at", "bouts/first.md:9"), "nearest is line 11"),
        (("step", "--before", "soon"), "seconds, such as 2"),
        (("step", "--length", "-1"), "seconds, such as 2"),
        (("step", "--out", "steps.doc"), "its ending tells no format"),
        (("step", "--to", "edl", "--format", "json"), "standard output"),
        (("step", "--to", "doc"), "one of otio, edl, "),
        (("step", "--by", "nobody"), "no fighter 'nobody'"),
    ],
)
def test_wrong_usage_ends_with_2(run: RunCommand, words: tuple[str, ...], said: str) -> None:
    made = run("cut", *words)
    assert (made.exit_code, made.stdout) == (2, "")
    assert said in made.stderr


def test_what_was_named_by_hand_and_cannot_be_cut_ends_with_1(run: RunCommand) -> None:
    made = run("cut", "--at", "bouts/clockless.md:11", "--at", STEPS[0], "--format", "json")
    assert made.exit_code == 1
    assert "bouts/clockless.md:11: untimed" in made.stderr
    assert [place for place, _, _ in cuts_of(made)] == STEPS[:1]


def test_an_empty_list_is_shown_as_such_and_not_exported(run: RunCommand, tmp_path: Path) -> None:
    made = run("cut", "--tag", "outside step", "--bout", "clockless", "--format", "json")
    assert (made.exit_code, cuts_of(made)) == (1, [])
    assert "the cut list is empty" in made.stderr
    for option, name in (("--out", "none.edl"), ("--save", "none.yaml")):
        failed = run("cut", "--tag", "outside step", "--bout", "clockless", option, tmp_path / name)
        assert (failed.exit_code, (tmp_path / name).exists()) == (1, False)
        assert "the cut list is empty: there is nothing to" in failed.stderr


def test_footage_that_cannot_be_read_is_named(library: Path, run: RunCommand) -> None:
    (library / "media" / "gone.mp4").write_bytes(b"\0no film")
    made = run("cut", "--tag", "outside step", "--format", "json")
    assert made.exit_code == 1
    assert "gone.mp4: no video that ffmpeg can read" in made.stderr
    assert len(cuts_of(made)) == 3
