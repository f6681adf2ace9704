"""Words of fighting find their own glosses: WordNet 3.0, see `word_senses.py` for the source and its format."""

from __future__ import annotations

import pytest

from fightnotes.index.local_store import LocalStore
from fightnotes.index.store import Store
from fightnotes.library import open_library
from tests.outside.word_senses import (
    FIRST_LINE,
    WORDNET,
    Sense,
    fighting_senses,
    library_files,
    mean_reciprocal_ranks,
    queries,
    without_words,
)

pytestmark = pytest.mark.skipif(
    not (WORDNET / "data.noun").exists(), reason="needs WordNet's files: apt-get install wordnet-base"
)


@pytest.fixture(scope="module")
def senses() -> list[Sense]:
    return fighting_senses()


@pytest.fixture(scope="module")
def store(senses: list[Sense], tmp_path_factory: pytest.TempPathFactory) -> Store:
    root = tmp_path_factory.mktemp("senses")
    for name, text in library_files(senses).items():
        (root / name).parent.mkdir()
        (root / name).write_text(text, encoding="utf-8")
    assert open_library(root).build().problems == ()
    return LocalStore(root)


def test_the_topics_have_the_members_that_wordnet_gives_them(senses: list[Sense]) -> None:
    """Boxing 13, fencing 9, wrestling 2."""
    topical = [sense for sense in senses if sense.topical]
    assert len(topical) == 24
    assert {"clinch", "full nelson", "riposte", "below the belt"} <= {word for sense in topical for word in sense.words}
    assert not any(word.istitle() for sense in senses for word in sense.words), "names of people are left out"


def test_the_notes_are_the_glosses_without_the_words(senses: list[Sense], store: Store) -> None:
    segments = sorted(store.every_segment().values(), key=lambda segment: segment.line)
    assert [segment.line for segment in segments] == list(range(FIRST_LINE, FIRST_LINE + len(senses)))
    assert [segment.text for segment in segments] == [without_words(sense) for sense in senses]


@pytest.mark.parametrize("topical", [True, False])
def test_the_default_finds_more_than_words_alone_and_little_less_than_vectors(
    senses: list[Sense], store: Store, topical: bool
) -> None:
    """The word that is asked for is struck from the gloss that answers, and stands in those of other senses: the words
    of a query can only mislead here."""
    means = mean_reciprocal_ranks(store, queries(senses, topical=topical))
    assert means["the default"] > 1.5 * means["words alone"]
    assert means["the default"] > 0.8 * means["vectors alone"]
