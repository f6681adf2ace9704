"""Misspelt words of a query: which are mended, into what, and which stand."""

from __future__ import annotations

from pathlib import Path

import pytest

from fightnotes.library import Library, open_library
from fightnotes.search.spelling import mend
from tests.search.samples import NAMES


@pytest.mark.parametrize(
    ("written", "read"),
    [
        ("outsyde step", "outside step"),
        ("outsde step", "outside step"),
        ("open gaurd", "open guard"),
        ("invitaton", "invitation"),
        ("Corvlae jabs", "corvale jabs"),
        ("Kazehorri jabs", "kazehori jabs"),
        ("Itrubeña jabs", "iturbena jabs"),
        ("gaurd, gaurd!", "guard, guard!"),
    ],
    ids=lambda text: text,
)
def test_mended(library: Library, written: str, read: str) -> None:
    """One letter wrong, left out, swapped or doubled; words of the notes, of a label that no note says, of a name."""
    mended = mend(written, library.store)
    assert mended.text == read
    assert mended.changes
    assert not mended.strange


@pytest.mark.parametrize(
    "text",
    [
        "outside step", "stepping outside", "haymaker", "Corvale", "風堀", '"gaurd"', "jbb", "r2d2x", "", "the and",
        "flips", "slips", "don't", "🥊",
    ],
)  # fmt: skip
def test_left_as_it_is(library: Library, text: str) -> None:
    """Words of the notes, words that the model knows, names, what is quoted, short words, words with digits."""
    assert (mend(text, library.store).text, mend(text, library.store).changes) == (text, ())


def test_a_mended_query_finds_and_says_how_it_was_read(library: Library) -> None:
    found = library.find("outsyde stepp", limit=3)
    assert NAMES[found.hits[0].place] in ("outside landed", "outside missed", "outside, dv")
    assert "“outsyde” is in no note: read as “outside”" in found.notices
    assert found.query.text == "outsyde stepp"


@pytest.mark.parametrize(
    ("text", "strange"),
    [
        ("qwxzvk", True),
        ("qwxzvk the", True),
        ('"qwxzvk"', True),
        ("haymaker", True),
        ("jab qwxzvk", False),
        ("who was that", False),
        ("Corvale", False),
        ("outsyde", False),
    ],
)
def test_whether_all_of_it_is_strange(library: Library, text: str, strange: bool) -> None:
    assert mend(text, library.store).strange is strange


@pytest.mark.parametrize("text", ["zzzzz", "qwxzvk", "asdfgh", "blorptang", "gravlax"])
def test_gibberish_finds_nothing(demo: Path, text: str) -> None:
    found = open_library(demo).find(text)
    assert not found.hits
    assert found.notices[0].startswith("no moment answers this; the nearest label is")


@pytest.mark.parametrize("text", ["sidestepped", "untangling"])
def test_a_strange_word_with_a_meaning_finds_by_meaning(demo: Path, text: str) -> None:
    library = open_library(demo)
    assert mend(text, library.store).strange
    assert library.find(text).hits
