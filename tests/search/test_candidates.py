"""Where a query is held against candidates, and not against every segment, it finds the same."""

from __future__ import annotations

from pathlib import Path

import pytest

from fightnotes.index import local_store
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
    """No library is small enough to be searched whole, and the nearest are fewer than the demo has segments."""
    monkeypatch.setattr(local_store, "EXACT_UP_TO", 0)
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
