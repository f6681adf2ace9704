"""A vocabulary from nothing: libraries that have none, and what their tags, words and phrases come to."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from fightnotes.library import open_library
from fightnotes.model import Concept, Segment, Tag, Vocabulary
from fightnotes.proposing.term_home import home_by_words, home_of
from fightnotes.proposing.typed_tags import TypedTag, spelling_key, typed_tags
from fightnotes.proposing.word_uses import trade_words_of
from fightnotes.vocabulary.starter import starter_vocabulary
from tests.conftest import MakeLibrary, RunCommand

HEAD = """\
---
bout: {id}
title: {id}
red: {{name: Ines Corvale}}
blue: {{name: Rika Brandaal}}
media: {{file: a.mp4, rate: 25}}
---
"""
FIRST = (
    HEAD.format(id="first")
    + """\
- 0:10 Corvale chops at the shin. #calf-kick by:corvale outcome:landed
- 0:20 The same again, higher. #Calf_Kicks by:corvale
- 0:30 Third one. #calfkick
- 0:40 Brandaal limps off a #clf-kick and ties up.
- 0:50 Jabs her way in, then a clinch. #tie-up
- 1:00 A jab, and into the clinch again.
- 1:10 The weather is grey; the weather is cold.
"""
)
SECOND = (
    HEAD.format(id="second")
    + """\
- 0:10 Teep to the belly, then a jab.
- 0:20 Another teep. The weather has turned.
- 0:30 They clinch; the weather again.
"""
)


@pytest.fixture
def root(make_library: MakeLibrary, fightnotes: RunCommand) -> Path:
    root = make_library({"bouts/first.md": FIRST, "bouts/second.md": SECOND})
    assert fightnotes("build", "--library", root).exit_code == 0
    return root


def listed(fightnotes: RunCommand, root: Path) -> dict[str, dict[str, Any]]:
    result = fightnotes("propose", "--library", root, "--format", "json")
    assert result.exit_code == 0
    return {each["term"]: each for each in json.loads(result.stdout)["proposals"]}


def test_tags_come_first_with_their_spellings_and_then_words_of_the_trade(fightnotes: RunCommand, root: Path) -> None:
    found = listed(fightnotes, root)
    assert list(found) == ["calf kick", "tie up", "clinch", "jab", "teep"]
    tag = found["calf kick"]
    assert tag.items() >= {"kind": "concept", "seen_as": "tag", "concept": None, "uses": 4, "segments": 4}.items()
    assert tag["also"] == ["calf kicks", "calfkick", "clf kick"]
    assert found["clinch"].items() >= {"seen_as": "word", "concept": None, "segments": 3}.items()
    assert "in 2 of 2 bouts" in found["clinch"]["why"]
    table = fightnotes("propose", "--library", root).stdout
    assert "calf kick: new concept" in table
    assert "also written calf kicks, calfkick, clf kick" in table


@pytest.mark.parametrize("vocabulary", [None, "", "concepts: []\n", "# mine\nconcepts:\n", "terms:\n- {say: ropes}\n"])
def test_applied_tags_resolve_in_every_spelling(fightnotes: RunCommand, root: Path, vocabulary: str | None) -> None:
    if vocabulary is not None:
        (root / "vocabulary.yaml").write_text(vocabulary)
    assert fightnotes("propose", "--library", root, "--apply", "calfkick").exit_code == 0
    assert fightnotes("build", "--library", root).exit_code == 0
    hits = json.loads(fightnotes("find", "--tag", "calf-kick", "--library", root, "--format", "json").stdout)["hits"]
    assert {hit["line"]: hit["tags"] for hit in hits} == {line: ["calf-kick"] for line in (8, 9, 10, 11)}
    assert "calf kick" not in listed(fightnotes, root)
    assert fightnotes("vocabulary", "undo", "--library", root).exit_code == 0
    standing = (root / "vocabulary.yaml").read_text() if (root / "vocabulary.yaml").exists() else None
    assert standing == vocabulary


def test_a_tag_may_be_taken_as_a_label_and_a_refused_one_stays_away(fightnotes: RunCommand, root: Path) -> None:
    assert fightnotes("propose", "--library", root, "--apply", "clinch").exit_code == 0
    assert fightnotes("build", "--library", root).exit_code == 0
    applied = fightnotes("propose", "--library", root, "--apply", "tie up", "--as", "label", "--of", "clinch")
    assert applied.exit_code == 0
    assert "    also: [tie up]\n" in (root / "vocabulary.yaml").read_text()
    assert fightnotes("propose", "--library", root, "--reject", "calf kick").exit_code == 0
    assert not {"calf kick", "calfkick"} & listed(fightnotes, root).keys()


def test_what_stands_above_comes_of_words_or_of_the_trade_and_else_there_is_nothing(
    fightnotes: RunCommand, root: Path
) -> None:
    (root / "vocabulary.yaml").write_text("concepts:\n- {id: strikes, label: Kick}\n- {id: punching, label: punches}\n")
    assert fightnotes("build", "--library", root).exit_code == 0
    found = listed(fightnotes, root)
    above = {term: found[term]["concept"] for term in ("calf kick", "jab", "teep", "clinch")}
    assert above == {"calf kick": "strikes", "jab": "punching", "teep": "strikes", "clinch": None}
    assert "the trade has jab under punches" in found["jab"]["why"]
    assert found["clinch"]["kind"] == "concept"


def test_a_library_of_one_note_and_one_of_none(fightnotes: RunCommand, make_library: MakeLibrary) -> None:
    root = make_library({})
    assert fightnotes("build", "--library", root).exit_code == 0
    assert listed(fightnotes, root) == {}
    (root / "bouts").mkdir()
    (root / "bouts/a.md").write_text(HEAD.format(id="a") + "- 0:10 #jab\n")
    assert fightnotes("build", "--library", root).exit_code == 0
    assert listed(fightnotes, root).keys() == {"jab"}


def test_the_whole_way_from_nothing_ends_with_a_sound_vocabulary(fightnotes: RunCommand, root: Path) -> None:
    while found := listed(fightnotes, root):
        assert fightnotes("propose", "--library", root, "--apply", next(iter(found))).exit_code == 0
        assert fightnotes("build", "--library", root).exit_code == 0
    assert fightnotes("vocabulary", "check", "--library", root).exit_code == 0
    assert all(tag.concept for segment in open_library(root).read().segments for tag in segment.tags)


def grouped(*written: str, said: dict[str, int] | None = None, known: Vocabulary | None = None) -> list[TypedTag]:
    from fightnotes.language.labels import labels_of

    segments = {
        number: Segment(
            bout="a", file="a.md", line=number, last_line=number, kind="note", text="",
            tags=(Tag(written=text, concept=None, line=number, column=1),),
        )
        for number, text in enumerate(written)
    }  # fmt: skip
    return typed_tags(segments, said or {}, labels_of(known or Vocabulary()))


@pytest.mark.parametrize(
    ("written", "groups"),
    [
        (("calf-kick", "Calf-Kicks", "calfkick", "CALFKICKS"), 1),
        (("uppercut", "uppercut", "upercut"), 1),
        (("sprawl", "spralw"), 1),
        (("hook", "hoop"), 2),
        (("sprint", "print"), 2),
        (("level-1-feint", "level-2-feint"), 2),
        (("inside-step", "outside-step"), 2),
        (("überhand", "uberhand"), 1),
        (("構え", "構え-二"), 2),
        (("का", "की"), 2),
    ],
)
def test_which_tags_are_one_name(written: tuple[str, ...], groups: int) -> None:
    assert len(grouped(*written)) == groups


def test_a_slip_makes_a_word_that_is_not_said_otherwise() -> None:
    assert len(grouped("lead-slip", "lead-slip", "lead-slap")) == 1
    assert len(grouped("lead-slip", "lead-slip", "lead-slap", said={"lead": 5, "slap": 5})) == 2


def test_the_commonest_spelling_names_the_tag_and_one_of_a_label_goes_to_its_concept() -> None:
    (tag,) = grouped("calfkick", "calf-kick", "calfkick")
    assert (tag.words, tag.variants, tag.segments, tag.label) == ("calfkick", ("calf kick",), (0, 1, 2), None)
    (tag,) = grouped("calf-kicks", "clfkick", known=Vocabulary(concepts=(Concept(id="low", label="calf kick"),)))
    assert tag.label is not None
    assert tag.label.concept == "low"
    assert home_by_words(tag.words, Vocabulary(), Vocabulary(), tag.label).kind == "label"


def test_names_that_differ_in_digits_alone_stay_apart_however_many() -> None:
    names = [f"tag{number:06}x" for number in range(2_000)]
    assert len(grouped(*names)) == len(names)


def test_no_parent_without_evidence() -> None:
    vocabulary = Vocabulary(concepts=(Concept(id="punches", label="punches"),))
    assert home_of(("bent", "arm"), [], vocabulary, {"punches": 0.3}).concept is None
    assert home_of(("bent", "arm"), [], vocabulary, {"punches": 0.6}).concept == "punches"


def test_words_of_the_trade_keep_to_their_own_forms() -> None:
    words = trade_words_of(starter_vocabulary())
    assert words["jab"].text == "jab"
    assert words["floor"].stands_as("floored")
    assert not words["floor"].stands_as("floor")
    assert words["clinch"].stands_as("clinches")
    assert spelling_key("Calf_Kicks") == spelling_key("calfkick")
