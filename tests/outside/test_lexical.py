"""The order that SQLite's FTS5 gives by BM25, against the package bm25s (0.3), method "robertson".

Both are Robertson and Zaragoza's BM25 (2009) with k1 = 1.2 and b = 0.75, which FTS5 has fixed. They differ by the
factor k1 + 1, which bm25s leaves out, and in a word that half of the texts have, or more: FTS5 gives it 0.000001, bm25s
nothing (both instead of a weight below zero). Texts: the Lee background corpus, 300 pieces of news, from the package
gensim. Tokens of the reference: runs of letters and digits, stemmed by nltk's PorterStemmer with its Martin extensions:
FTS5 follows the algorithm as Martin Porter later amended it (tartarus.org/martin/PorterStemmer), not the paper of 1980.
"""

from __future__ import annotations

import importlib.util
import random
import re
from collections import Counter
from pathlib import Path

import bm25s
import numpy as np
import pytest
from nltk.stem import PorterStemmer
from scipy.stats import kendalltau

from fightnotes.index.local_store import LocalStore
from fightnotes.index.store import Store
from fightnotes.library import open_library
from fightnotes.search.query import Query
from fightnotes.search.words import word_matches

QUERIES = (
    "Afghan prisoners",
    "bushfires near Sydney",
    "cricket test against South Africa",
    "interest rate cut",
    "Palestinian militant group",
    "unions and the airline",
    "tennis final in straight sets",
    "asylum seekers detained",
    "storm damage and power",
    "security council resolution",
)
_PORTER = PorterStemmer(PorterStemmer.MARTIN_EXTENSIONS)
FACTOR = 2.2
"""k1 + 1"""


@pytest.fixture(scope="module")
def store(tmp_path_factory: pytest.TempPathFactory, small_model: Path) -> Store:
    spec = importlib.util.find_spec("gensim")
    assert spec is not None
    assert spec.origin is not None
    corpus = Path(spec.origin).parent / "test/test_data/lee_background.cor"
    texts = corpus.read_text(encoding="latin-1").splitlines()
    root = tmp_path_factory.mktemp("lee")
    (root / "bouts").mkdir()
    (root / "library.yaml").write_text(f"model: {small_model}\n")
    notes = [f"- {minute}:00 " + re.sub(r"[^\w\s.,;'’-]", " ", text) for minute, text in enumerate(texts)]
    (root / "bouts/news.md").write_text("\n".join(["---", "bout: news", "---", *notes]), encoding="utf-8")
    open_library(root).build()
    return LocalStore(root)


@pytest.fixture(scope="module")
def texts(store: Store) -> dict[int, str]:
    return dict(store.connection.execute("SELECT rowid, text FROM words ORDER BY rowid"))


def tokens(text: str) -> list[str]:
    return [_PORTER.stem(word) for word in re.findall(r"[^\W_]+", text.lower())]


@pytest.fixture(scope="module")
def reference(texts: dict[int, str]) -> bm25s.BM25:
    ranker = bm25s.BM25(method="robertson", k1=1.2, b=0.75)
    ranker.index([tokens(text) for text in texts.values()], show_progress=False)
    return ranker


def test_the_words_are_the_same(store: Store, texts: dict[int, str]) -> None:
    """Each stem with the number of texts that have it and of its places, as fts5vocab tells them."""
    assert len(texts) == 300
    store.connection.execute("CREATE VIRTUAL TABLE temp.seen USING fts5vocab('main', 'words', 'row')")
    ours = {term: (holders, places) for term, holders, places in store.connection.execute("SELECT * FROM temp.seen")}
    everywhere = Counter(token for text in texts.values() for token in tokens(text))
    holders = Counter(token for text in texts.values() for token in set(tokens(text)))
    assert ours == {term: (holders[term], everywhere[term]) for term in everywhere}


def sample_queries(texts: dict[int, str]) -> list[str]:
    """Two to four words out of each of some texts."""
    chance = random.Random(20310308)
    chosen = chance.sample(list(texts.values()), 40)
    return [" ".join(chance.sample(re.findall(r"[^\W_]{4,}", text), chance.randint(2, 4))) for text in chosen]


def test_every_score_is_the_references(store: Store, texts: dict[int, str], reference: bm25s.BM25) -> None:
    for query in (*QUERIES, *sample_queries(texts)):
        expression = " OR ".join(f'"{word}"' for word in re.findall(r"[^\W_]+", query.lower()))
        rows = store.connection.execute(
            "SELECT rowid, -bm25(words, 1.0, 1.0) FROM words WHERE words MATCH ?", (expression,)
        ).fetchall()
        theirs = dict(zip(texts, FACTOR * reference.get_scores(tokens(query)), strict=True))
        ours = dict.fromkeys(texts, 0.0) | dict(rows)
        np.testing.assert_allclose([ours[number] for number in texts], list(theirs.values()), rtol=1e-4, atol=1e-4)


def test_the_order_of_the_lexical_side_is_the_references(
    store: Store, texts: dict[int, str], reference: bm25s.BM25
) -> None:
    """Through the search's own door, which looks up only words that few texts have, as long as there are such."""
    for query in QUERIES:
        words = tuple(word.lower() for word in re.findall(r"[^\W_]{4,}", query))
        ours = word_matches(Query(text=query, meaning=query, words=words), store, 300, None)
        assert list(ours.values()) == sorted(ours.values(), reverse=True)
        theirs = dict(zip(texts, reference.get_scores(tokens(" ".join(words))), strict=True))
        assert set(ours) == {number for number, score in theirs.items() if score > 0}
        agreement = kendalltau(list(ours.values()), [round(float(theirs[number]), 4) for number in ours]).statistic
        assert agreement > 0.999 or len(ours) < 2, query
