"""Both stores answer alike, whatever is asked: the one beside the files, and the one that a team shares."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

import psycopg
import pytest

from fightnotes.errors import UnknownName
from fightnotes.index.local_store import LocalStore
from fightnotes.index.shared import vector_search
from fightnotes.index.shared.store import SharedStore
from fightnotes.index.store import Store
from fightnotes.library import Library, open_library
from fightnotes.search.filters import Filters
from tests.index.store_answers import ANSWERS, NOT_ASKED, alike
from tests.index.untidy import FILES
from tests.judged.evaluation import load_queries
from tests.shared_server import Server


class Pair(NamedTuple):
    local: Store
    shared: Store


def opened(root: Path, url: str) -> Iterator[Pair]:
    open_library(root, url).build()
    pair = Pair(LocalStore(root), SharedStore(root, url))
    yield pair
    for store in pair:
        store.close()


@pytest.fixture(scope="module")
def of_demo(demo: Path, shared_server: Server) -> Iterator[Pair]:
    yield from opened(demo, shared_server.new_database())


@pytest.fixture(scope="module")
def of_untidy(tmp_path_factory: pytest.TempPathFactory, small_model: Path, shared_server: Server) -> Iterator[Pair]:
    root = tmp_path_factory.mktemp("untidy")
    for name, text in {"library.yaml": f"model: {small_model}\n", **FILES}.items():
        (root / name).parent.mkdir(exist_ok=True)
        (root / name).write_bytes(text.encode())
    yield from opened(root, shared_server.new_database())


@pytest.fixture(params=["of_demo", "of_untidy"])
def pair(request: pytest.FixtureRequest) -> Pair:
    found: Pair = request.getfixturevalue(request.param)
    return found


def test_the_whole_interface_is_asked() -> None:
    public = {name for name in (*vars(Store), *Store.__annotations__) if not name.startswith("_")}
    assert ANSWERS.keys() | NOT_ASKED == public
    assert not ANSWERS.keys() & NOT_ASKED


@pytest.mark.parametrize("name", ANSWERS)
def test_both_answer_alike(pair: Pair, name: str) -> None:
    alike(ANSWERS[name](pair.local), ANSWERS[name](pair.shared))


def test_something_is_asked_for_that_is_there(pair: Pair) -> None:
    """So that no answer is alike because it is empty."""
    for name in ("best_by_words", "near_each_other", "phrase_holders", "matching", "passage_cosines"):
        found = [one for one in ANSWERS[name](pair.local) if len(one)]
        assert len(found) >= (1 if name == "passage_cosines" else 4), name


def found(library: Library, query: str, filters: Filters = Filters()) -> list[tuple[str, float]]:  # noqa: B008
    return [(hit.place, hit.score) for hit in library.find(query, filters, limit=20).hits]


def libraries(pair: Pair) -> tuple[Library, Library]:
    local, shared = Library(pair.local.root), Library(pair.local.root)
    local.store, shared.store = pair
    return local, shared


def test_every_judged_query_finds_the_same(of_demo: Pair) -> None:
    local, shared = libraries(of_demo)
    queries = [judged.query for judged in load_queries(of_demo.local)]
    assert len(queries) > 50
    for query in queries:
        ours, theirs = found(local, query), found(shared, query)
        assert [place for place, _ in theirs] == [place for place, _ in ours], query
        assert [score for _, score in theirs] == pytest.approx([score for _, score in ours], abs=1e-5)


@pytest.mark.parametrize(
    "filters",
    [Filters(tags=("footwork",)), Filters(fighter=("brandaal",)), Filters(outcome=("landed",), rounds=(2, 5))],
    ids=str,
)
def test_filters_let_the_same_through(of_demo: Pair, filters: Filters) -> None:
    local, shared = libraries(of_demo)
    for query in ("", "lead foot outside", '"left hand" over the top'):
        ours = found(local, query, filters)
        assert ours
        assert [place for place, _ in found(shared, query, filters)] == [place for place, _ in ours]


HOSTILE = (
    "'; DROP TABLE segments; --", '"', '""', '" OR 1=1 --', "\\", "\\'", "%s %(stems)s {} ?", "lead\0foot",
    "\ud800 lone",
    "$1 $$x$$", "NEAR(a b)", "*", "(", "a" * 100_000, "lead " * 5_000, '"' + "jab " * 500 + '"', "\u202e\u200b",
    "🥊 👊🏽",
    "lead foot*", "text:lead", "^lead", "-jab", "右ストレート", "ＦＵＬＬ", "café", "cafe\u0301", '"café kick"',
)  # fmt: skip


def test_hostile_queries_are_words_to_both(of_untidy: Pair) -> None:
    local, shared = libraries(of_untidy)
    for query in HOSTILE:
        ours, theirs = found(local, query), found(shared, query)
        assert [place for place, _ in theirs] == [place for place, _ in ours], query[:50]
        assert [score for _, score in theirs] == pytest.approx([score for _, score in ours], abs=1e-5)


@pytest.mark.parametrize("name", ["by", "tags", "bout", "analyst", "outcome"])
def test_hostile_filters_are_names_that_nobody_has(of_untidy: Pair, name: str) -> None:
    for library in libraries(of_untidy):
        with pytest.raises(UnknownName, match="DROP TABLE"):
            library.find("jab", Filters(**{name: ("'; DROP TABLE segments; --",)}))


def test_by_its_index_of_vectors_a_shared_store_finds_the_same(
    demo: Path, shared_server: Server, monkeypatch: pytest.MonkeyPatch
) -> None:
    """With the threshold from which on the server has one lowered to nothing."""
    monkeypatch.setattr(vector_search, "EXACT_UP_TO", 0)
    url = shared_server.new_database()
    open_library(demo, url).build()
    with psycopg.connect(url) as connection:
        connection.execute("SET enable_seqscan = off")
        query = "SELECT segment FROM fightnotes.vectors WHERE NOT wordless ORDER BY vector <#> %s::vector LIMIT 5"
        plan = connection.execute(f"EXPLAIN {query}", (str([0.0] * 384),)).fetchall()
    assert "nearest_vectors" in str(plan)
    local, shared = open_library(demo), open_library(demo, url)
    for judged in load_queries(local.store)[:20]:
        vector = local.store.encoder.encode([judged.query])[0]
        (ours, _), (theirs, _) = local.store.nearest(vector, 20), shared.store.nearest(vector, 20)
        assert len(set(ours.tolist()) & set(theirs.tolist())) >= 19
