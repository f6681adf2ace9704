"""`fightnotes propose`, as an analyst uses it."""

from __future__ import annotations

import csv
import io
import json
import re
from pathlib import Path

import pytest

from tests.conftest import MakeLibrary, RunCommand

VOCABULARY = """\
# House words
concepts:
  - {id: footwork, label: footwork}   # all of it
  - id: cross
    label: cross
    also: [straight left]   # never the right

  - {id: parry, label: parry}
terms:
  - {say: southpaw}   # the left-handed ones
"""
NOTE = """\
---
bout: a-b-2031
title: A v B
red: {name: Ines Corvale}
blue: {name: Rika Brandaal}
media: {file: a.mp4, rate: 25, bells: {1: "0:00:00"}}
rounds: {count: 3, length: "3:00", clock: up}
sources: [{file: ../transcripts/talk.vtt, kind: transcript}]
---
- R1 0:10 Corvale a heel pivot by the ropes #footwork
- R1 0:20 Brandaal a heel pivot by the ropes #footwork
- R1 0:30 Corvale a heel pivot by the ropes #footwork
- R1 0:40 Short cross, landed clean.
- R1 0:50 Short cross, landed clean.
- R1 1:00 Short cross, landed clean.
"""
TALK = "WEBVTT\n\n00:02:30.000 --> 00:02:33.000\na south paw he is\n"


@pytest.fixture
def root(make_library: MakeLibrary, fightnotes: RunCommand) -> Path:
    root = make_library({"vocabulary.yaml": VOCABULARY, "bouts/a.md": NOTE, "transcripts/talk.vtt": TALK})
    assert fightnotes("build", "--library", root).exit_code == 0
    return root


def listed(fightnotes: RunCommand, root: Path) -> dict[str, dict[str, object]]:
    result = fightnotes("propose", "--library", root, "--format", "json")
    assert result.exit_code == 0
    return {each["term"]: each for each in json.loads(result.stdout)["proposals"]}


def vocabulary(root: Path) -> str:
    return (root / "vocabulary.yaml").read_bytes().decode()


def test_the_list_names_place_and_kind_in_every_format(fightnotes: RunCommand, root: Path) -> None:
    found = listed(fightnotes, root)
    assert found.keys() == {"heel pivot", "short cross", "ropes", "south paw"}
    first = found["heel pivot"]["examples"][0]  # type: ignore[index]
    assert first.items() >= {
        "file": "bouts/a.md", "line": 10, "bout": "a-b-2031", "timed_on": "footage", "start": 10.0, "round": 1,
        "round_clock": "0:10", "text": "Corvale a heel pivot by the ropes",
    }.items()  # fmt: skip
    rows = list(csv.DictReader(io.StringIO(fightnotes("propose", "--library", root, "--format", "csv").stdout)))
    assert {row["term"]: (row["kind"], row["concept"], row["trade_word"]) for row in rows} == {
        "heel pivot": ("label", "footwork", ""),
        "short cross": ("concept", "cross", ""),
        "ropes": ("concept", "", ""),
        "south paw": ("misheard", "", "southpaw"),
    }
    assert "bouts/a.md:13 a-b-2031, R1 0:40, 0:40-0:50" in next(
        row["examples"] for row in rows if row["term"][0:5] == "short"
    )
    table = fightnotes("propose", "--library", root, "--limit", 2).stdout
    assert "short cross: new concept under cross" in table
    assert "a-b-2031, R1 0:50, 0:50-1:" in table
    assert "bouts/a.md:14" in table
    assert "heel pivot" not in table


def test_an_applied_proposal_changes_its_lines_alone_and_then_holds(fightnotes: RunCommand, root: Path) -> None:
    dry = fightnotes("propose", "--library", root, "--apply", "heel pivot", "--dry-run")
    assert "+  - {id: footwork, label: footwork, also: [heel pivot]}   # all of it" in dry.stdout.splitlines()
    assert "dry run: 1 line in 1 file would change" in dry.stderr
    assert vocabulary(root) == VOCABULARY
    assert not (root / "undo").exists()
    assert fightnotes("propose", "--library", root, "--apply", "Short Cross").exit_code == 0
    assert fightnotes("propose", "--library", root, "--apply", "heel pivot").exit_code == 0
    assert fightnotes("propose", "--library", root, "--apply", "south paw").exit_code == 0
    assert vocabulary(root) == VOCABULARY.replace("footwork}", "footwork, also: [heel pivot]}").replace(
        "# never the right\n", "# never the right\n\n  - id: short-cross\n    label: short cross\n    broader: cross\n"
    ).replace("southpaw}", "southpaw, misheard: [south paw]}")
    assert (root / "bouts/a.md").read_bytes().decode() == NOTE
    assert fightnotes("build", "--library", root).exit_code == 0
    hits = json.loads(
        fightnotes("find", "heel pivot", "--library", root, "--tag", "heel-pivot", "--format", "json").stdout
    )["hits"]
    assert {hit["line"]: hit["tags"] for hit in hits} == {10: ["footwork"], 11: ["footwork"], 12: ["footwork"]}
    assert listed(fightnotes, root).keys() == {"ropes"}


def test_a_person_may_apply_it_as_something_else(fightnotes: RunCommand, root: Path) -> None:
    refused = fightnotes("propose", "--library", root, "--apply", "short cross", "--as", "label")
    assert refused.exit_code == 2
    assert "name the concept that 'short cross' is a label of" in refused.stderr
    fightnotes("propose", "--library", root, "--apply", "short cross", "--as", "label", "--of", "cross")
    fightnotes("propose", "--library", root, "--apply", "heel pivot", "--as", "concept", "--of", "footwork")
    fightnotes("propose", "--library", root, "--apply", "south paw", "--as", "misheard", "--of", "cross")
    text = vocabulary(root)
    assert "    also: [straight left, short cross]   # never the right\n    misheard: [south paw]\n" in text
    assert "  - {id: heel-pivot, label: heel pivot, broader: footwork}\n" in text
    unknown = fightnotes("propose", "--library", root, "--apply", "heel pivot", "--of", "footwrok")
    assert unknown.exit_code == 2


def test_a_rejected_proposal_is_remembered_in_a_text_file(fightnotes: RunCommand, root: Path) -> None:
    assert fightnotes("propose", "--library", root, "--reject", "heel pivot").exit_code == 0
    assert fightnotes("propose", "--library", root, "--reject", "south paw").exit_code == 0
    assert (root / "rejected-terms.yaml").read_text().splitlines()[1:] == ['- "heel pivot"', '- "south paw"']
    assert listed(fightnotes, root).keys() == {"short cross", "ropes"}
    again = fightnotes("propose", "--library", root, "--apply", "heel pivot")
    assert again.exit_code == 2
    assert "'heel pivot' is not proposed" in again.stderr
    (root / "rejected-terms.yaml").write_bytes(b"# mine\r\n- heel pivot")
    assert fightnotes("propose", "--library", root, "--reject", "short cross").exit_code == 0
    assert (root / "rejected-terms.yaml").read_bytes() == b'# mine\r\n- heel pivot\r\n- "short cross"\r\n'
    assert listed(fightnotes, root).keys() == {"ropes", "south paw"}


HEARD = "WEBVTT\n\n00:02:30.000 --> 00:02:33.000\nbrandle waits and brandle throws, grand hall too\n"


@pytest.fixture
def talked(make_library: MakeLibrary, fightnotes: RunCommand) -> Path:
    root = make_library({"vocabulary.yaml": VOCABULARY, "bouts/a.md": NOTE, "transcripts/talk.vtt": HEARD})
    assert fightnotes("build", "--library", root).exit_code == 0
    return root


def test_a_misheard_name_goes_to_the_bout_in_which_it_was_heard(fightnotes: RunCommand, talked: Path) -> None:
    found = listed(fightnotes, talked)
    assert found["brandle"].items() >= {"kind": "misheard", "fighter": "brandaal", "sure": True, "uses": 2}.items()
    hall = found["grand hall"]
    assert (hall["fighter"], hall["bouts"], hall["sure"]) == ("brandaal", ["a-b-2031"], False)
    assert list(found)[-1] == "brandle", "what is sure comes behind what is in doubt"
    table = fightnotes("propose", "--library", talked).stdout
    assert "brandle: a misheard form of brandaal" in table
    result = fightnotes("propose", "--library", talked, "--apply", "brandle")
    assert result.exit_code == 0
    note = (talked / "bouts/a.md").read_bytes().decode()
    assert note == NOTE.replace("name: Rika Brandaal}", "name: Rika Brandaal, misheard: [brandle]}")
    assert fightnotes("vocabulary", "undo", "--library", talked).exit_code == 0
    assert (talked / "bouts/a.md").read_bytes().decode() == NOTE


def test_a_misheard_name_goes_to_the_list_of_fighters(fightnotes: RunCommand, talked: Path) -> None:
    library = talked / "library.yaml"
    settings = library.read_text() + "fighters:\n  - {name: Rika Brandaal}\n  - Ines Corvale   # red\n"
    library.write_text(settings)
    fightnotes("propose", "--library", talked, "--apply", "brandle")
    fightnotes("propose", "--library", talked, "--apply", "grand hall", "--as", "misheard", "--of", "Corvale")
    assert library.read_text() == settings.replace("Brandaal}", "Brandaal, misheard: [brandle]}").replace(
        "- Ines Corvale ", "- {name: Ines Corvale, misheard: [grand hall]} "
    )
    assert (talked / "bouts/a.md").read_bytes().decode() == NOTE


def test_a_name_takes_no_labels(fightnotes: RunCommand, talked: Path) -> None:
    result = fightnotes("propose", "--library", talked, "--apply", "brandle", "--as", "label")
    assert result.exit_code == 2
    assert "brandaal is a fighter" in result.stderr
    fightnotes("propose", "--library", talked, "--apply", "brandle", "--as", "misheard", "--of", "cross")
    assert "misheard: [brandle]" in vocabulary(talked)


def test_what_is_heard_once_is_said_in_the_singular(fightnotes: RunCommand, root: Path) -> None:
    table = fightnotes("propose", "--library", root).stdout
    assert "3 times" in table
    assert re.search(r"^  once\b", table, re.MULTILINE)
    assert "1 times" not in table


def test_a_refused_name_is_not_heard_again(fightnotes: RunCommand, talked: Path) -> None:
    assert fightnotes("propose", "--library", talked, "--reject", "brandle").exit_code == 0
    assert "brandle" not in " ".join(listed(fightnotes, talked))


@pytest.mark.parametrize("content", ["- [a]\n", "{a: 1}\n", "- 'a\n"])
def test_a_broken_list_of_rejected_terms_is_told(fightnotes: RunCommand, root: Path, content: str) -> None:
    (root / "rejected-terms.yaml").write_text(content)
    result = fightnotes("propose", "--library", root)
    assert (result.exit_code, result.stdout) == (1, "")
    assert "rejected-terms.yaml:" in result.stderr
    assert "expected a list of terms" in result.stderr


@pytest.mark.parametrize(
    "words", [("--dry-run",), ("--as", "label"), ("--of", "cross"), ("--apply", "x", "--reject", "y")]
)
def test_options_that_do_not_go_together(fightnotes: RunCommand, root: Path, words: tuple[str, ...]) -> None:
    assert fightnotes("propose", "--library", root, *words).exit_code == 2


def test_a_file_changed_meanwhile_is_not_written_over(fightnotes: RunCommand, root: Path) -> None:
    (root / "vocabulary.yaml").write_text(VOCABULARY.replace("  - {id: footwork, label: footwork}   # all of it\n", ""))
    before = vocabulary(root)
    result = fightnotes("propose", "--library", root, "--apply", "heel pivot")
    assert result.exit_code == 2
    assert "no concept has the id 'footwork'" in result.stderr
    assert vocabulary(root) == before


def test_before_the_first_build(fightnotes: RunCommand, make_library: MakeLibrary) -> None:
    result = fightnotes("propose", "--library", make_library({}))
    assert result.exit_code == 1
    assert "build" in result.stderr
