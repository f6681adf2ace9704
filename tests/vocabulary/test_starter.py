"""The starter vocabulary, and `fightnotes vocabulary start`."""

from __future__ import annotations

import json
import tomllib
from pathlib import Path

import pytest

import fightnotes as package
from fightnotes.language.words import stems_of
from fightnotes.model.conditions import breaches
from fightnotes.reading.vocabulary_file import read_vocabulary
from fightnotes.vocabulary.starter import starter_vocabulary
from tests.conftest import MakeLibrary, RunCommand

PACKAGE = Path(package.__file__).parent
MINE = """\
# My words
concepts:
  - id: jabbing
    label: jab
    also: [poke]   # as I say
  - {id: clinch, label: tie-up}
terms:
  - {say: southpaw}
"""


def concepts(root: Path) -> dict[str, tuple[str, ...]]:
    vocabulary, problems = read_vocabulary((root / "vocabulary.yaml").read_text(), "vocabulary.yaml")
    assert problems == ()
    return {concept.id: concept.broader for concept in vocabulary.concepts}


def test_the_starter_is_sound_and_says_what_each_word_means() -> None:
    vocabulary, problems = read_vocabulary((PACKAGE / "vocabulary/starter.yaml").read_text(encoding="utf-8"), "")
    assert problems == ()
    assert vocabulary == starter_vocabulary()
    assert breaches(vocabulary) == ()
    assert 100 <= len(vocabulary.concepts) <= 150
    assert all(concept.definition.endswith(".") for concept in vocabulary.concepts)
    owner: dict[tuple[str, ...], str] = {}
    for concept in vocabulary.concepts:
        for label, role in concept.labels():
            if role != "id":
                assert owner.setdefault(stems_of(label), concept.id) == concept.id, label
    places = {concept.id: place for place, concept in enumerate(vocabulary.concepts)}
    assert all(places[above] < places[each.id] for each in vocabulary.concepts for above in each.broader)


def test_the_file_is_packaged() -> None:
    settings = tomllib.loads((PACKAGE.parent / "pyproject.toml").read_text())["tool"]["setuptools"]
    patterns = settings["package-data"]["fightnotes"]
    assert PACKAGE / "vocabulary/starter.yaml" in [path for each in patterns for path in PACKAGE.glob(each)]


def test_from_nothing_it_comes_whole_and_goes_again(fightnotes: RunCommand, make_library: MakeLibrary) -> None:
    root = make_library({})
    dry = fightnotes("vocabulary", "start", "--library", root, "--dry-run")
    assert dry.exit_code == 0
    assert "+  - id: jab" in dry.stdout.splitlines()
    assert not (root / "vocabulary.yaml").exists()
    assert fightnotes("vocabulary", "start", "--library", root).exit_code == 0
    vocabulary, problems = read_vocabulary((root / "vocabulary.yaml").read_text(), "vocabulary.yaml")
    assert problems == ()
    assert [c.model_copy(update={"line": 0}) for c in vocabulary.concepts] == [
        c.model_copy(update={"line": 0}) for c in starter_vocabulary().concepts
    ]
    again = fightnotes("vocabulary", "start", "--library", root)
    assert "nothing to change" in again.stderr
    assert fightnotes("vocabulary", "undo", "--library", root).exit_code == 0
    assert not (root / "vocabulary.yaml").exists()


def test_a_part_comes_with_what_is_below_it(fightnotes: RunCommand, make_library: MakeLibrary) -> None:
    root = make_library({})
    words = ("vocabulary", "start", "--library", root, "--part", "low-kick", "--part", "Tie-up", "--format", "json")
    change = json.loads(fightnotes(*words).stdout)
    found = concepts(root)
    assert found["low-kick"] == ()
    assert found["inside-low-kick"] == ("low-kick",)
    assert {"clinch", "underhook"} <= found.keys()
    assert "jab" not in found
    assert change["title"] == f"start with {len(found)} concepts"
    unknown = fightnotes("vocabulary", "start", "--library", root, "--part", "kickz")
    assert (unknown.exit_code, unknown.stdout) == (2, "")
    assert "the nearest is kicks" in unknown.stderr


def test_what_is_there_stays_and_what_clashes_is_named(fightnotes: RunCommand, make_library: MakeLibrary) -> None:
    root = make_library({"vocabulary.yaml": MINE})
    result = fightnotes("vocabulary", "start", "--library", root)
    assert result.exit_code == 0
    text = (root / "vocabulary.yaml").read_text()
    assert [line for line in text.splitlines() if line in MINE.splitlines()] == MINE.splitlines()
    found = concepts(root)
    assert "jab" not in found
    assert "southpaw" not in found
    assert found["double-jab"] == ("jabbing",)
    assert found["jabbing"] == ()
    assert found["underhook"] == ("clinch",)
    assert "jab stays out: 'jab' is jabbing in your vocabulary" in result.stderr
    assert "southpaw stays out: 'southpaw' is among your trade words that are no concepts" in result.stderr


@pytest.mark.parametrize(
    ("mine", "named"),
    [
        ("- {id: a, label: push kick}\n", "teep comes without the label 'push kick', which is a in your vocabulary"),
        ("- {id: defence, label: x, broader: kicks}\n- {id: y, label: kicks, broader: defence}\n", "kicks stays out"),
        ("- {id: z, label: z, broader: punches, misheard: [jab]}\n", "jab stays out: 'jab' is z"),
    ],
)
def test_clashes_one_by_one(fightnotes: RunCommand, make_library: MakeLibrary, mine: str, named: str) -> None:
    root = make_library({"vocabulary.yaml": "concepts:\n" + mine})
    before = fightnotes("vocabulary", "check", "--library", root).stdout.splitlines()
    result = fightnotes("vocabulary", "start", "--library", root)
    assert result.exit_code == 0
    assert named in result.stderr
    after = fightnotes("vocabulary", "check", "--library", root).stdout.splitlines()
    assert len(after) <= len(before)


def test_a_vocabulary_that_cannot_be_read_is_left_alone(fightnotes: RunCommand, make_library: MakeLibrary) -> None:
    root = make_library({"vocabulary.yaml": "concepts: ["})
    result = fightnotes("vocabulary", "start", "--library", root)
    assert result.exit_code == 1
    assert (root / "vocabulary.yaml").read_text() == "concepts: ["
