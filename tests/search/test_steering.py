"""More like this, less like that; long moments; and what is said where nothing is found."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from fightnotes.errors import UnknownName, UsageError
from fightnotes.index.vector_file import read_vectors
from fightnotes.library import Library, open_library
from fightnotes.search.filters import Filters
from tests.conftest import MakeLibrary, RunCommand

BAIT = "bouts/brandaal-kazehori-2031.md:17"


def test_more_like_a_note_gives_others_that_say_the_same_with_the_reason(demo: Path, fightnotes: RunCommand) -> None:
    result = fightnotes("find", "--like", BAIT, "--library", demo, "--format", "json")
    hits = json.loads(result.stdout)["hits"]
    assert BAIT not in [f"{hit['file']}:{hit['line']}" for hit in hits]
    assert all(hit["why"]["like"][0].startswith(f"{BAIT} (0.") for hit in hits)
    assert sum("open-guard-bait" in hit["tags"] for hit in hits[:10]) >= 4


def test_unlike_moves_a_query_away(demo: Path) -> None:
    library = open_library(demo)
    plain = library.find("right hand", limit=30).hits
    away = library.find("right hand", unlike=[plain[0].place], limit=30).hits
    assert plain[0].place not in [hit.place for hit in away]
    assert [hit.place for hit in away] != [hit.place for hit in plain[1:]]


def test_several_notes_and_words_go_together(demo: Path) -> None:
    found = open_library(demo).find("at the ropes", like=[BAIT, "bouts/brandaal-kazehori-2031.md:19"], limit=5)
    assert all(len(hit.why.like) == 2 for hit in found.hits)


@pytest.mark.parametrize(
    ("like", "unlike", "error", "said"),
    [
        (["bouts/nowhere.md:1"], [], UnknownName, "no notes in"),
        (["bouts"], [], UsageError, "file:line"),
        ([BAIT], [BAIT], UsageError, "name it once"),
    ],
)
def test_places_that_cannot_be_taken(
    demo: Path, like: list[str], unlike: list[str], error: type[Exception], said: str
) -> None:
    with pytest.raises(error, match=said):
        open_library(demo).find("", like=like, unlike=unlike)


SENTENCES = [
    "He waits at long range and watches the lead foot.", "Nothing is thrown for a while and the crowd grows restless.",
    "Then the southpaw plants outside and drives the left straight into the stomach, twice in a row.",
    "They circle.", "The referee speaks to both of them about the heads coming together in the clinch.",
    "Late in the round a knee lands under the ribs.",
]  # fmt: skip


@pytest.fixture
def long_moment(make_library: MakeLibrary) -> Library:
    lines = "\n  ".join(SENTENCES * 4)
    note = f"---\nbout: a\n---\n- 0:10-1:50 {lines}\n- 2:00 A short one.\n"
    library = open_library(make_library({"bouts/a.md": note}))
    library.build()
    return library


def test_a_long_moment_is_found_by_a_sentence_of_it_which_is_shown_with_its_place(long_moment: Library) -> None:
    hit = long_moment.find("drives the left straight into the stomach").hits[0]
    assert hit.said is not None
    assert "drives the left straight into the stomach" in hit.said.text
    assert len(hit.shown) < 400 < len(hit.text)
    assert hit.said.line is not None
    assert min(abs(hit.said.line - line) for line in (6, 12, 18, 24)) <= 1
    assert hit.said.start is not None
    assert hit.segment.start is not None
    assert hit.segment.end is not None
    assert hit.segment.start <= hit.said.start <= hit.segment.end
    assert hit.as_json()["said"]["line"] == hit.said.line
    assert long_moment.find("short one").hits[0].said is None


def test_an_edited_long_moment_leaves_no_passage_behind(long_moment: Library) -> None:
    path = long_moment.root / "bouts/a.md"
    path.write_text("---\nbout: a\n---\n- 0:10 A jab.\n", encoding="utf-8")
    long_moment.build()
    assert len(long_moment.store.passages[0]) == 0
    (path,) = long_moment.store.layout.folder.glob("vectors-*")
    assert read_vectors(path).ntotal == long_moment.store.size


def test_filters_that_empty_the_answer_are_named_with_what_answers_without_them(demo: Path) -> None:
    library = open_library(demo)
    wanted = Filters(by=("brandaal",), outcome=("warning",))
    found = library.find("steps outside", wanted)
    assert not found.hits
    assert any("without --outcome" in notice for notice in found.notices)


def test_that_none_has_the_field_is_said(make_library: MakeLibrary) -> None:
    note = (
        "---\nbout: a\nred: Ines Corvale\n---\n- 0:10 A jab. #jab\n- 0:20 A jab again. #jab\n- 1:00 Rest. target:head\n"
    )
    library = open_library(make_library({"bouts/a.md": note, "vocabulary.yaml": "concepts: [{id: jab, label: jab}]\n"}))
    library.build()
    found = library.find("", Filters(tags=("jab",), target=("head",)))
    assert "2 such moments without --target, none has `target:`" in found.notices


def test_that_no_note_mentions_it_is_said_before_neighbours_are_shown(demo: Path, fightnotes: RunCommand) -> None:
    result = fightnotes("find", "oblique photography", "--library", demo)
    assert "no note mentions this" in result.stderr or "no moment answers" in result.stderr
    partly = open_library(demo).find("capoeira jab").notices
    assert partly == ("no note says “capoeira”",)
