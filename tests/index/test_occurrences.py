"""BM25 reckoned for all segments at once, against that of FTS5 itself, word for word and phrase for phrase."""

from __future__ import annotations

import json
import random
from collections.abc import Sequence
from pathlib import Path

import numpy as np
import pytest

from fightnotes.index import occurrences
from fightnotes.index.bm25 import LABEL_WEIGHT
from fightnotes.index.local_store import LocalStore
from fightnotes.index.occurrences import Occurrences
from fightnotes.language.words import written_words
from fightnotes.library import open_library
from tests.conftest import MakeLibrary

UNTIDY = """---
bout: a
title: A
---
- 0:10 The straße, the STRASSE; naïve Ærø, 手を下げる and 🥊 jab-jab'jab. #jab #lead-hook
- 0:20 She doesn't, he does; it's Corvale's guard: open guard, guard open. #jab
- 0:30 #jab
- 0:40 don\u2019t x\u0301y ½ Ⅷ _under_score_ a\u0000b
- 0:50 jab jab jab jab open open guard guard
- 1:00 {} open guard
"""
ASKED: tuple[tuple[tuple[str, ...], tuple[str, ...]], ...] = (
    ((), ("jab",)),
    ((), ("Straße", "naive", "ÆRØ")),
    ((), ("doesn't", "Corvale's", "it’s")),
    ((), ("手を下げる", "手", "🥊", "½", "Ⅷ")),
    ((), ("nobody", "says", "this")),
    (("open guard",), ()),
    (("open guard", "guard open"), ("jab",)),
    (("jab jab",), ("jab", "jab", "lead hook")),
    (("the",), ("open", "x\u0301y")),
    (("never said so",), ("jab",)),
    ((), ("", "'", "--")),
)


@pytest.fixture
def untidy(make_library: MakeLibrary) -> LocalStore:
    root = make_library({"bouts/a.md": UNTIDY.format("long " * 20_000)})
    open_library(root).build()
    return LocalStore(root)


def by_fts5(
    store: LocalStore, phrases: Sequence[str], words: Sequence[str], among: list[int] | None
) -> dict[int, float]:
    must, may = ([f'"{text.replace(chr(34), "")}"' for text in texts] for texts in (phrases, words))
    expression = " AND ".join([*must, f"({' OR '.join([*must, *may])})"])
    rows = store.connection.execute(
        f"SELECT rowid, -bm25(words, 1.0, {LABEL_WEIGHT}) AS score FROM words WHERE words MATCH ? "
        "AND (? IS NULL OR rowid IN (SELECT value FROM json_each(?))) ORDER BY score DESC, rowid",
        (expression, *([json.dumps(among) if among is not None else None] * 2)),
    )
    return dict(rows.fetchall())


def assert_alike(
    store: LocalStore, phrases: Sequence[str], words: Sequence[str], among: list[int] | None = None
) -> int:
    expected = by_fts5(store, phrases, words, among)
    found = store.best_by_words(phrases, words, 10_000, None if among is None else np.array(among, dtype=np.int64))
    assert found.keys() == expected.keys(), (phrases, words)
    for number, score in found.items():
        assert score == pytest.approx(expected[number], rel=1e-12), (phrases, words)
    assert list(found.values()) == sorted(found.values(), reverse=True)
    return len(found)


@pytest.mark.parametrize(("phrases", "words"), ASKED)
def test_untidy_texts(untidy: LocalStore, phrases: tuple[str, ...], words: tuple[str, ...]) -> None:
    assert_alike(untidy, phrases, words)


def test_what_is_asked_of_untidy_texts_is_there(untidy: LocalStore) -> None:
    assert [len(untidy.best_by_words(phrases, words, 10, None)) for phrases, words in ASKED] == [
        4, 1, 1, 2, 0, 3, 1, 2, 1, 0, 0
    ]  # fmt: skip


def test_words_and_phrases_of_the_demo(demo: Path) -> None:
    store = LocalStore(demo)
    chance = random.Random(20310308)
    texts = [written_words(text) for (text,) in store.connection.execute("SELECT text FROM words") if text]
    every = store.ids.tolist()
    found = 0
    for _ in range(150):
        words = written_words(" ".join(chance.choice(chance.choice(texts)) for _ in range(chance.randint(0, 5))))
        text, length = chance.choice(texts), chance.randint(1, 3)
        begin = chance.randrange(len(text))
        phrases = [" ".join(text[begin : begin + length])] if chance.random() < 0.5 or not words else []
        among = sorted(chance.sample(every, 200)) if chance.random() < 0.3 else None
        found += assert_alike(store, phrases, words, among)
    assert found > 3_000


def test_no_more_is_kept_than_may_be(demo: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """And what was let go is reckoned again."""
    connection = LocalStore(demo).connection
    words = ("jab", "guard", "foot", "hook", "left")
    expected = [Occurrences(connection).best((), (word,), 1000) for word in words[:1]]
    monkeypatch.setattr(occurrences, "MOST_KEPT", 100)
    few = Occurrences(connection)
    for _ in range(3):
        for word in words:
            few.best((), (word,), 1000)
    assert sum(len(rows) for rows, _ in few._kept.values()) < 1000
    assert few.best((), ("jab",), 1000) == expected[0]
