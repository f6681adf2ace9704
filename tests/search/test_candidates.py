"""Where a query is held against candidates, and not against every segment, it finds the same."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from fightnotes.index import placed_vectors, vector_parts, word_search
from fightnotes.index.layout import Layout
from fightnotes.index.local_store import LocalStore
from fightnotes.library import Library, open_library
from fightnotes.search import fusion
from fightnotes.search.filters import Filters
from tests.conftest import MakeLibrary
from tests.judged.evaluation import load_queries

Answer = list[tuple[str, float, str]]
FILTERS = (
    Filters(),
    Filters(tags=("footwork",)),
    Filters(fighter=("brandaal",)),
    Filters(outcome=("landed",), kind="note"),
    Filters(rounds=(4, 4), outcome=("missed",)),
)
OTHER_WAYS = ('"lead foot" outside', "wrmvqzx", "jab", "nobody ever walks on the moon", "Corvale baits Brandaal")


def answer(library: Library, query: str, filters: Filters = FILTERS[0], limit: int = 20) -> Answer:
    found = library.find(query, filters, limit=limit)
    return [(hit.place, pytest.approx(hit.score, abs=2e-6), str(hit.why)) for hit in found.hits]


@pytest.fixture
def few_candidates(monkeypatch: pytest.MonkeyPatch) -> None:
    """No library is searched whole, and the nearest are fewer than the demo has segments."""
    monkeypatch.setattr(LocalStore, "is_searched_whole", False)
    monkeypatch.setattr(fusion, "NEAREST_LOOKED_AT", 100)


@pytest.mark.parametrize("filters", FILTERS, ids=str)
def test_the_judged_queries_are_answered_alike(demo: Path, filters: Filters, request: pytest.FixtureRequest) -> None:
    whole = open_library(demo)
    queries = [*(judged.query for judged in load_queries(whole.store)), *OTHER_WAYS]
    expected = [answer(whole, query, filters) for query in queries]
    request.getfixturevalue("few_candidates")
    by_candidates = open_library(demo)
    assert not by_candidates.store.is_searched_whole
    assert [answer(by_candidates, query, filters) for query in queries] == expected


@pytest.fixture(scope="module")
def coded_root(demo: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo with codes of its vectors, and two bouts with a note more since."""
    root = tmp_path_factory.mktemp("coded") / "demo"
    shutil.copytree(demo, root)
    bouts = sorted((root / "bouts").glob("*.md"))
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(vector_parts, "EXACT_UP_TO", 100)
        patch.setattr(vector_parts, "RECENT_SHARE", 10)
        for path in (bouts[0], bouts[-1]):
            path.write_text(path.read_text(encoding="utf-8") + "\n- 0:59:59 A word more.\n", encoding="utf-8")
            assert open_library(root).build().by_codes
    return root


@pytest.fixture
def coded(coded_root: Path, monkeypatch: pytest.MonkeyPatch) -> Library:
    monkeypatch.setattr(placed_vectors, "_FEW", 20)
    monkeypatch.setattr(word_search, "_FEW", 20)
    monkeypatch.setattr(fusion, "NEAREST_LOOKED_AT", 100)
    library = open_library(coded_root)
    assert {path.name for path in Layout(library.root).folder.glob("*-[1-9].*")} > {"codes-2.faiss", "recent-3.npz"}
    return library


@pytest.mark.parametrize("filters", FILTERS, ids=str)
def test_by_codes_it_is_answered_as_without(coded: Library, filters: Filters, monkeypatch: pytest.MonkeyPatch) -> None:
    queries = [*(judged.query for judged in load_queries(coded.store))][::3]
    found = [answer(coded, query, filters) for query in queries]
    monkeypatch.setattr(LocalStore, "is_searched_whole", True)
    expected = [answer(coded, query, filters) for query in queries]
    shared = [
        len({hit[0] for hit in one} & {hit[0] for hit in other}) for one, other in zip(found, expected, strict=True)
    ]
    assert sum(shared) >= 0.98 * sum(map(len, expected))


@pytest.mark.parametrize("filters", FILTERS[1:], ids=str)
def test_all_that_pass_a_filter_and_answer_are_found(
    coded: Library, filters: Filters, monkeypatch: pytest.MonkeyPatch
) -> None:
    found = {place for place, *_ in answer(coded, "lead foot outside", filters, limit=500)}
    monkeypatch.setattr(LocalStore, "is_searched_whole", True)
    assert found == {place for place, *_ in answer(coded, "lead foot outside", filters, limit=500)}


def test_more_like_a_note(demo: Path, request: pytest.FixtureRequest) -> None:
    place = "bouts/brandaal-kazehori-2031.md:17"
    expected = [hit.place for hit in open_library(demo).find("", like=[place]).hits]
    request.getfixturevalue("few_candidates")
    assert [hit.place for hit in open_library(demo).find("", like=[place]).hits] == expected


@pytest.mark.usefixtures("few_candidates")
def test_notes_of_tags_alone_are_found_by_their_tag(make_library: MakeLibrary) -> None:
    """They are near to nothing, and no search of the nearest has them."""
    notes = "".join(f"- {k}:00 {'#jab' if k % 2 else f'He waits {k}.'}\n" for k in range(40))
    vocabulary = "concepts: [{id: jab, label: jab}]\n"
    library = open_library(make_library({"bouts/a.md": f"---\nbout: a\n---\n{notes}", "vocabulary.yaml": vocabulary}))
    library.build()
    assert sum(not hit.segment.text for hit in library.find("jab", limit=60).hits) == 20
