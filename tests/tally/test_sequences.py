"""`fightnotes follow`, on libraries whose chains were counted by hand."""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path
from typing import Any

import pytest

from fightnotes.library import open_library
from tests.conftest import MakeLibrary, RunCommand
from tests.tally.conftest import built
from tests.tally.sequence_samples import HEAD, LIBRARY, VOCABULARY, planted


@pytest.fixture(scope="session")
def chained_library(tmp_path_factory: pytest.TempPathFactory, small_model: Path) -> Path:
    return built(tmp_path_factory.mktemp("chained"), small_model, LIBRARY)


@pytest.fixture(scope="session")
def planted_library(tmp_path_factory: pytest.TempPathFactory, small_model: Path) -> Path:
    files = {
        "vocabulary.yaml": VOCABULARY,
        "bouts/planted.md": planted(),
        "bouts/turns.md": planted("turns", 6, "marvane"),
    }
    return built(tmp_path_factory.mktemp("planted"), small_model, files)


def told(fightnotes: RunCommand, root: Path, *words: str) -> dict[str, Any]:
    result = fightnotes("follow", *words, "--library", root, "--format", "json")
    assert result.exit_code == 0, result.stderr
    found: dict[str, Any] = json.loads(result.stdout)
    return found


def the_one(found: dict[str, Any]) -> dict[str, Any]:
    (chain,) = found["sequences"]
    assert isinstance(chain, dict)
    return chain


@pytest.mark.parametrize(
    ("words", "count", "of"),
    [
        (("level-change", "straight-right"), 3, 5),
        (("level change", "right straight"), 3, 5),  # by labels
        (("level-change", "straight-right", "--within", "15"), 4, 5),
        (("level-change", "straight-right", "--within", "5"), 3, 5),  # no more than 5 s is 5 s, too
        (("level-change", "straight-right", "--within", "4.9"), 1, 5),
        (("level-change", "straight-right", "--notes-apart"), 2, 5),
        (("level-change", "straight-right", "--same-fighter"), 2, 5),
        (("level-change", "straight-right", "--other-fighter"), 1, 5),
        (("level-change", "footwork", "straight-right"), 3, 5),
        (("level-change", "footwork", "straight-right", "--alone"), 0, 5),
        (("level-change", "deep-step", "straight-right"), 2, 5),
        (("level-change", "deep-step", "straight-right", "--same-fighter"), 2, 5),
        (("straight-right", "deep-step"), 0, 5),  # the tags of a note in the order written, and not the other way
        (("level-change", "straight-right", "--to-outcome", "knockdown"), 1, 5),
        (("level-change", "straight-right", "--round", "1"), 2, 2),
        (("straight-right", "level-change", "--by", "marvane"), 0, 1),
        (("jab", "check-hook", "--by", "quell"), 1, 1),  # what is asked of an act, is asked of the first
        (("jab", "check-hook"), 2, 2),
        (("jab", "check-hook", "--same-fighter"), 0, 2),
        (("jab", "check-hook", "--other-fighter"), 1, 2),  # nobody says who throws the other jab
    ],
)  # fmt: skip
def test_chains_are_those_counted_by_hand(
    chained_library: Path, fightnotes: RunCommand, words: tuple[str, ...], count: int, of: int
) -> None:
    chain = the_one(told(fightnotes, chained_library, *words))
    assert (chain["count"], chain["of"], len(chain["runs"])) == (count, of, count)


def test_a_chain_opens_into_its_moments_each_act_once(chained_library: Path, fightnotes: RunCommand) -> None:
    chain = the_one(told(fightnotes, chained_library, "level-change", "deep-step", "straight-right"))
    first, second = chain["runs"]
    assert [(act["concept"], act["line"], act["round_clock"]) for act in first] == [
        ("level-change", 12, "2:50"), ("deep-step", 13, "2:48"), ("straight-right", 14, "2:45")
    ]  # fmt: skip
    assert [act["also"] for act in first] == [["second/chains.md:1"], [], ["second/chains.md:2"]]
    assert {act["line"] for act in second} == {20}
    assert (chain["same_fighter"], chain["other_fighter"], chain["at_one_time"]) == (2, 0, 1)
    result = fightnotes("follow", "level-change", "deep-step", "straight-right", "--library", chained_library)
    for place in ("bouts/chains.md:12, second/chains.md:1", "bouts/chains.md:13", "bouts/chains.md:20"):
        assert place in result.stdout


def test_by_whom_is_told_for_each_step(chained_library: Path, fightnotes: RunCommand) -> None:
    chain = the_one(told(fightnotes, chained_library, "level-change", "straight-right"))
    assert (chain["same_fighter"], chain["other_fighter"], chain["other_or_unsaid"]) == (2, 1, 0)
    chain = the_one(told(fightnotes, chained_library, "jab", "check-hook"))
    assert (chain["same_fighter"], chain["other_fighter"], chain["other_or_unsaid"]) == (0, 1, 1)


def test_chains_that_end_in_an_outcome_the_commonest_first(chained_library: Path, fightnotes: RunCommand) -> None:
    found = told(fightnotes, chained_library, "--to-outcome", "knockdown")
    assert [(tuple(chain["concepts"]), chain["count"], chain["of"]) for chain in found["sequences"]] == [
        (("deep-step", "straight-right"), 1, 1),
        (("jab", "check-hook"), 1, 1),
        (("level-change", "straight-right"), 1, 1),
    ]  # fmt: skip
    assert all(chain["says"] is None and chain["p"] is None for chain in found["sequences"])
    assert "acts with outcome:knockdown: 2; too few to say what leads to it" in found["notices"]
    found = told(fightnotes, chained_library, "--to-outcome", "knockdown", "--steps", "3")
    chain = the_one(found)
    assert chain["concepts"] == ["level-change", "deep-step", "straight-right"]
    assert [act["line"] for act in chain["runs"][0]] == [12, 13, 14]
    found = told(fightnotes, chained_library, "jab", "--to-outcome", "knockdown")
    assert the_one(found)["concepts"] == ["jab", "check-hook"]


def test_what_is_left_out_and_too_few_are_said(chained_library: Path, fightnotes: RunCommand) -> None:
    found = told(fightnotes, chained_library, "jab", "check-hook")
    assert the_one(found)["says"] == "too few"
    assert "acts left out: 1 without a tag, 1 without a time" in found["notices"]
    assert (
        "notes are a sample that the analyst chose: this is what was observed, not what caused it" in found["notices"]
    )
    shown = fightnotes("follow", "jab", "check-hook", "--library", chained_library).stdout
    assert "too few to say (2)" in shown
    nothing = fightnotes("follow", "--library", chained_library, "--bout", "chains", "--round", "5")
    assert nothing.stdout.startswith("too few to say: of no two concepts with 5 acts each one follows the other\n")


def test_the_planted_pair_stands_out_and_what_stands_for_it_and_no_other(
    planted_library: Path, fightnotes: RunCommand
) -> None:
    found = told(fightnotes, planted_library, "--within", "4", "--bout", "planted")
    first, *others = found["sequences"]
    assert (first["concepts"], first["count"], first["of"]) == (["deep-step", "check-hook"], 36, 36)
    assert first["says"] == "more often than chance"
    assert first["p_adjusted"] < 1e-6
    assert first["lift"]["low"] > 2
    clear = [each["concepts"] for each in others if each["says"] == "more often than chance"]
    assert clear == [["footwork", "check-hook"]], "of which the deep step is one"


def test_the_planted_answer_is_the_other_fighters(planted_library: Path, fightnotes: RunCommand) -> None:
    asked = ("deep-step", "--within", "4", "--bout", "turns")
    first, *_ = told(fightnotes, planted_library, *asked, "--other-fighter")["sequences"]
    assert (first["concepts"], first["count"], first["other_fighter"]) == (["deep-step", "check-hook"], 36, 36)
    assert first["says"] == "more often than chance"
    same = told(fightnotes, planted_library, *asked, "--same-fighter")["sequences"]
    assert all(each["says"] == "not clear" for each in same)
    assert ["deep-step", "check-hook"] not in [each["concepts"] for each in same]


def test_a_broader_pair_of_the_same_runs_is_not_told_again(planted_library: Path, fightnotes: RunCommand) -> None:
    found = told(fightnotes, planted_library, "--within", "4", "--bout", "planted", "--limit", "100")
    runs = [str(each["runs"]) for each in found["sequences"]]
    assert len(runs) == len(set(runs))


def test_csv_has_a_row_a_chain_and_the_limit_is_said(planted_library: Path, fightnotes: RunCommand) -> None:
    result = fightnotes("follow", "--library", planted_library, "--within", "4", "--limit", "2", "--format", "csv")
    rows = list(csv.DictReader(io.StringIO(result.stdout)))
    assert len(rows) == 2
    assert rows[0]["concepts"] == "deep-step > check-hook"
    assert rows[0]["places"].split()[0] == "bouts/planted.md:9>bouts/planted.md:10"
    assert "further chains, beyond the limit: " in result.stderr


def test_moments_of_a_list_are_numbered_by_chain(planted_library: Path, fightnotes: RunCommand) -> None:
    words = ("follow", "--library", planted_library, "--within", "4", "--limit", "1", "--round", "1")
    assert "1.1 " not in fightnotes(*words).stdout
    shown = fightnotes(*words, "--moments").stdout
    assert "1.1 " in shown
    assert "1.12 " in shown
    assert "1.13 " not in shown


@pytest.mark.parametrize(
    ("words", "message"),
    [
        (("level-chnge", "jab"), "no tag 'level-chnge'; near it: level-change"),
        (("--to-outcome", "knocked"), "outcome"),
        (("--within", "0"), "more than no time"),
        (("--within", "nan"), "more than no time"),
        (("--within", "inf"), "not for ever"),
        (("--steps", "3"), "steps go with an outcome"),
        (("level-change", "jab", "--to-outcome", "hurt", "--steps", "3"), "steps go with an outcome"),
        (("--round", "0"), "--round"),
        (("--round", "99999999999999999999"), "--round"),
        (("--steps", "9"), "--steps"),
    ],
)
def test_wrong_usage(chained_library: Path, fightnotes: RunCommand, words: tuple[str, ...], message: str) -> None:
    result = fightnotes("follow", *words, "--library", chained_library)
    assert result.exit_code == 2
    assert message in result.stderr.replace("level change", "level-change")


def test_clocks_of_the_round_and_of_the_footage_are_not_mixed(
    make_library: MakeLibrary, fightnotes: RunCommand
) -> None:
    """Without bells nothing tells where 2:58 of a round lies on the footage."""
    acts = ("0:02 #jab", "0:05 #check-hook", "R1 2:57 #jab", "R1 2:54 #straight-right")
    notes = "".join(f"- {act} by:quell\n" for act in acts)
    root = make_library(
        {"vocabulary.yaml": VOCABULARY, "bouts/a.md": HEAD.format(bout="a", day=1, rounds=3, more="") + notes}
    )
    open_library(root).build()
    assert the_one(told(fightnotes, root, "jab", "check-hook"))["count"] == 1
    assert the_one(told(fightnotes, root, "jab", "straight-right"))["count"] == 1
    assert the_one(told(fightnotes, root, "check-hook", "straight-right"))["count"] == 0
    assert the_one(told(fightnotes, root, "check-hook", "jab"))["count"] == 0


def test_what_two_files_tell_of_one_time_has_no_order(make_library: MakeLibrary, fightnotes: RunCommand) -> None:
    head = HEAD.format(
        bout="a", day=1, rounds=3, more="sources:\n  - {file: ../second/a.md, kind: notes, analyst: dv}\n"
    )
    files = {
        "vocabulary.yaml": VOCABULARY,
        "bouts/a.md": head + "- R1 2:00 #jab by:quell\n",
        "second/a.md": "- R1 2:00 #check-hook by:marvane\n",
    }
    root = make_library(files)
    open_library(root).build()
    assert the_one(told(fightnotes, root, "jab", "check-hook"))["count"] == 0
    assert the_one(told(fightnotes, root, "check-hook", "jab"))["count"] == 0


def test_a_script_gets_the_same(chained_library: Path) -> None:
    found = open_library(chained_library).follow("level-change", "straight-right")
    (chain,) = found.found
    assert (chain.following.count, chain.following.of) == (3, 5)
    assert [hit.place for hit in found.hits(chain.runs[0])] == ["bouts/chains.md:12", "bouts/chains.md:14"]


def test_the_lift_never_says_more_than_all_of_them(chained_library: Path, fightnotes: RunCommand) -> None:
    chain = the_one(told(fightnotes, chained_library, "jab", "check-hook"))
    assert (chain["count"], chain["of"]) == (2, 2)
    share = [chain["lift"][end] * chain["expected"] / chain["of"] for end in ("low", "value", "high")]
    assert share == pytest.approx([0.342380, 1, 1], rel=1e-4)  # Wilson's of 2 of 2


def test_where_nobody_says_by_whom_no_number_stands(make_library: MakeLibrary, fightnotes: RunCommand) -> None:
    note = "---\nbout: a\nred: {name: Ada Quell}\nblue: {name: Bo Marvane}\n---\n- 0:10 One. #jab\n- 0:12 Two. #cross\n"
    vocabulary = "concepts:\n- {id: jab, label: jab}\n- {id: cross, label: cross}\n"
    root = make_library({"vocabulary.yaml": vocabulary, "bouts/a.md": note})
    open_library(root).build()
    line = next(
        line for line in fightnotes("follow", "jab", "cross", "--library", root).stdout.splitlines() if "→" in line
    )
    assert "1 of 1" in line
    assert line.split()[-3:] == ["-", "-", "0"]
