"""Suggestions through the library and the command, over the demo."""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from typer.testing import Result

from fightnotes.index.local_store import LocalStore
from fightnotes.library import Library, open_library
from fightnotes.model import Vocabulary
from fightnotes.suggesting.material import material_of
from fightnotes.suggesting.model import THRESHOLD
from fightnotes.suggesting.suggest import TagSuggestion, suggest_for
from tests.bench.tag_hiding import with_tags

Run = Callable[..., Result]
FIELDS = {
    *("bout", "file", "line", "start", "end", "timed_on", "round", "round_clock", "text", "tags", "by", "on"),
    *("outcome", "target", "score", "why", "concept", "label", "probability", "writable", "mark", "field", "value"),
}


@pytest.fixture(scope="module")
def library(demo: Path) -> Library:
    return open_library(demo)


@pytest.fixture(scope="module")
def found(library: Library) -> tuple[TagSuggestion, ...]:
    return library.suggest()


def test_it_abstains_below_the_threshold_and_begins_with_the_surest(
    library: Library, found: tuple[TagSuggestion, ...]
) -> None:
    odds = [each.probability for each in found]
    assert odds == sorted(odds, reverse=True)
    assert min(odds) >= THRESHOLD
    moments = {(each.segment.file, each.segment.line) for each in found}
    assert len(moments) < len(library.read().segments) / 2


def test_what_is_tagged_or_covered_by_a_narrower_tag_is_left_out(
    library: Library, found: tuple[TagSuggestion, ...]
) -> None:
    vocabulary = library.store.vocabulary
    for each in library.suggest(above=0.05):
        covered = {up for tag in each.segment.tags if tag.concept for up in vocabulary.with_broader(tag.concept)}
        assert each.concept not in covered
    for each in found:
        beside = [other.concept for other in found if other.segment == each.segment and other != each]
        assert all(each.concept not in vocabulary.with_broader(concept) for concept in beside)


@given(low=st.floats(0, 1), high=st.floats(0, 1))
@settings(max_examples=4, deadline=None)
def test_a_lower_threshold_shows_what_a_higher_one_shows(library: Library, low: float, high: float) -> None:
    low, high = sorted((low, high))
    few, many = ({(s.place, s.concept, s.probability) for s in library.suggest(above=least)} for least in (high, low))
    assert few <= many


def test_a_sibling_unsaid_is_more_probable_than_the_others(library: Library) -> None:
    vocabulary = library.store.vocabulary
    suggested: dict[str, dict[str, TagSuggestion]] = {}
    for each in library.suggest(above=0.05):
        suggested.setdefault(each.place, {})[each.concept] = each
    for beside in suggested.values():
        unsaid = [each for each in beside.values() if not each.why.labels and not each.why.misheard]
        for one in unsaid:
            broader = set(vocabulary.by_id[one.concept].broader)
            for other in beside.values():
                if other != one and broader & set(vocabulary.by_id[other.concept].broader):
                    assert one.probability >= other.probability


@pytest.mark.parametrize("known", [12, 1000])
def test_one_concept_and_some_tags_do_not_make_every_note_one_of_it(demo: Path, known: int) -> None:
    store = LocalStore(demo)
    segments, (ids, vectors) = store.every_segment(), store.concept_vectors
    concept = store.vocabulary.by_id["outside-step"].model_copy(update={"broader": (), "related": ()})
    material = material_of(
        list(segments.values()),
        store.vectors_of(list(segments)),
        Vocabulary(concepts=(concept,)),
        [concept.id],
        vectors[[ids.index(concept.id)]],
    )
    tags = material.tags.toarray() > 0
    tags[np.flatnonzero(tags[:, 0])[known:]] = False
    rows = np.arange(len(segments))
    found = [s.segment for s in suggest_for(with_tags(material, tags), rows, store.bouts) if s.segment.tags]
    few = len(found) < sum(bool(segment.tags) for segment in segments.values()) / 25
    assert few or sum(concept.id in segment.tag_names for segment in found) >= 0.7 * len(found)


def test_similar_moments_stand_where_they_are_said_to_and_have_the_tag(
    library: Library, found: tuple[TagSuggestion, ...]
) -> None:
    by_place = {(segment.file, segment.line): segment for segment in library.read().segments}
    pointed = [(each, place) for each in found for place in each.why.similar]
    assert len(pointed) > 100
    for each, place in pointed:
        there = by_place[place.segment.file, place.segment.line]
        assert each.concept in {tag.concept for tag in there.tags}
        assert place.segment.place != each.place


def test_reasons_quote_the_text(found: tuple[TagSuggestion, ...]) -> None:
    assert any(each.why.labels for each in found)
    assert any(each.why.labels and each.segment.repairs for each in found)
    for each in found:
        for words in (*each.why.labels, *each.why.misheard):
            assert words in each.segment.text
        for word in each.why.words:
            assert word in each.segment.text.casefold()


def test_one_bout_is_what_all_bouts_hold_of_it(library: Library, found: tuple[TagSuggestion, ...]) -> None:
    bout = found[0].segment.bout
    alone, among_all = library.suggest(bouts=[bout]), [each for each in found if each.segment.bout == bout]
    assert [each.probability for each in alone] == pytest.approx([each.probability for each in among_all], abs=1e-4)
    for one, other in zip(alone, among_all, strict=True):  # in the last digit, a sum in another order may be rounded up
        assert one.model_copy(update={"probability": 0.0}) == other.model_copy(update={"probability": 0.0})
    assert library.suggest(limit=3) == found[:3]


def test_a_rejected_suggestion_is_not_made_again(demo: Path, tmp_path: Path) -> None:
    root = tmp_path / "library"
    shutil.copytree(demo, root)
    library = open_library(root)
    first, second = library.suggest(limit=2)
    undo = library.apply(library.plan_rejection(first.segment, first.concept))
    assert library.suggest(limit=1) == (second,)
    library.undo(undo)
    assert library.suggest(limit=1) == (first,)


def test_without_a_tag_in_the_library_definitions_carry_it(demo: Path, tmp_path: Path) -> None:
    root = tmp_path / "library"
    shutil.copytree(demo, root)
    shutil.rmtree(root / "bouts")
    (root / "bouts").mkdir()
    notes = [
        "0:10 The shin is turned into the low kick.",
        "0:20 A forearm against the neck keeps the space from closing.",
        "0:30 The referee talks to the timekeeper.",
    ]
    text = "---\nbout: one\n---\n" + "".join(f"- {note}\n" for note in notes)
    (root / "bouts" / "one.md").write_text(text, encoding="utf-8")
    library = open_library(root)
    library.build()
    suggested = {(each.segment.line, each.concept) for each in library.suggest(above=0.4)}
    assert {(4, "kick-check"), (5, "frame")} <= suggested
    assert not [concept for line, concept in suggested if line == 6]


def test_json_is_one_document_with_moment_and_reasons(demo: Path, fightnotes: Run) -> None:
    result = fightnotes("suggest", "--library", demo, "--only", "tags", "--format", "json", "--limit", "5")
    assert result.exit_code == 0
    rows = json.loads(result.stdout)["suggestions"]
    assert len(rows) == 5
    for row in rows:
        assert row.keys() >= FIELDS
        assert row["score"] == pytest.approx(row["probability"], abs=1e-4)
        assert row["why"]["similar"] or row["why"]["words"]


def test_table_and_csv_show_place_and_probability(demo: Path, fightnotes: Run, library: Library) -> None:
    first = library.suggest(limit=1)[0]
    table = fightnotes("suggest", "--library", demo, "--only", "tags", "--limit", "1")
    assert f"{first.probability:.0%}" in table.stdout
    assert f"#{first.concept}" in table.stdout
    sheet = fightnotes("suggest", "--library", demo, "--only", "tags", "--limit", "1", "--format", "csv")
    assert f"{first.segment.file},{first.segment.line}," in sheet.stdout


@pytest.mark.parametrize(
    "words", [("--bout", "no-such"), ("--review", "--take-above", "0.9"), ("--dry-run",), ("--above", "2")]
)
def test_wrong_usage_ends_with_2(demo: Path, fightnotes: Run, words: tuple[str, ...]) -> None:
    result = fightnotes("suggest", "--library", demo, *words)
    assert result.exit_code == 2
    assert result.stdout == ""


def test_bulk_taking_writes_the_surest_tags_and_can_be_taken_back(demo: Path, tmp_path: Path, fightnotes: Run) -> None:
    root = tmp_path / "library"
    shutil.copytree(demo, root)
    before = {path: path.read_bytes() for path in root.rglob("*.md")}
    wanted = [each for each in open_library(root).suggest(above=0.95) if each.writable]
    words = ("suggest", "--library", root, "--only", "tags", "--take-above", "0.95")
    tried = fightnotes(*words, "--dry-run")
    assert tried.exit_code == 0
    assert sum(line.startswith("+") and "+++" not in line for line in tried.stdout.splitlines()) == len(
        {(each.segment.file, each.segment.line) for each in wanted}
    )
    assert {path: path.read_bytes() for path in before} == before
    taken = fightnotes(*words)
    assert taken.stdout == tried.stdout
    assert "transcripts" in taken.stderr
    library = open_library(root)
    tags = {(segment.file, segment.line): segment.tags for segment in library.read().segments}
    for each in wanted:
        assert each.concept in {tag.concept for tag in tags[each.segment.file, each.segment.line]}
    library.undo()
    assert {path: path.read_bytes() for path in before} == before
