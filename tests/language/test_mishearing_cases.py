"""The golden cases of tests/cases/mishearings.md, and what holds for every talk."""

from __future__ import annotations

import string
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fightnotes.language.known_words import known_words
from fightnotes.language.mishearings import DOUBTFUL, SURE, Mishearing, find_mishearings
from fightnotes.model import Concept, Fighter, Term, Vocabulary

CASES = Path(__file__).parents[1] / "cases" / "mishearings.md"
FIGHTERS = (
    Fighter(id="corvale", name="Ines Corvale", also=("Corvale", "Ines")),
    Fighter(id="brandaal", name="Rika Brandaal", misheard=("brand all", "the brand all")),
)
VOCABULARY = Vocabulary(
    concepts=(
        Concept(id="open-guard-bait", label="open-guard bait", also=("showing the chin",), misheard=("open god bait",)),
        Concept(id="inside-step", label="inside step"),
        Concept(
            id="jab", label="jab", definition="A straight punch with the lead hand, thrown to keep the other busy."
        ),
        Concept(id="body-jab", label="body jab", broader=("jab",)),
        Concept(id="cross-counter", label="cross counter", misheard=("crass counter",)),
        Concept(id="clinch", label="clinch", also=("tie-up",)),
        Concept(id="parry", label="parry"),
        Concept(id="uppercut", label="uppercut"),
        Concept(id="lead-hand-fight", label="lead-hand fight"),
        Concept(id="overhand", label="overhand", also=("looping right",)),
    ),
    terms=(Term(say="counter"), Term(say="southpaw", misheard=("south poor",)), Term(say="knockdown")),
)
KNOWN = known_words(FIGHTERS, VOCABULARY)
REFUSED = frozenset({"core valet"})


def _cases() -> list[tuple[str, str, str]]:
    """Title, text and what is found."""
    opening, *parts = CASES.read_text(encoding="utf-8").split("\n.\n")
    assert parts.pop() == "", "the last case ends with a dot"
    assert len(parts) % 3 == 2, "a case is a title, a text and what is found, a dot behind each"
    titles = [opening.strip().split("\n")[-1], *(title.strip() for title in parts[2::3])]
    return list(zip(titles, parts[0::3], parts[1::3], strict=True))


def _shown(found: Mishearing, words: list[str]) -> str:
    heard = " ".join(words[found.first : found.last + 1])
    how = "listed" if found.listed else "sure" if found.sure else "asked"
    return f"{heard} -> {found.meant} ({how}, {found.fighter or (found.label and found.label.concept) or 'trade word'})"


@pytest.mark.parametrize(("title", "text", "expected"), _cases(), ids=lambda value: value[:40])
def test_golden_cases(title: str, text: str, expected: str) -> None:
    words = text.split()
    found = [_shown(each, words) for each in find_mishearings(words, KNOWN, REFUSED)]
    assert "\n".join(found or ["nothing"]) == expected, title


PIECES = "brand all the brandle core vale's Corvale open god bait, count her. — — 風堀 it's a a an upper cut jab Perry"


@given(st.lists(st.sampled_from(PIECES.split()), max_size=30))
def test_repairs_stand_in_order_and_apart(words: list[str]) -> None:
    found = find_mishearings(words, KNOWN)
    places = [place for each in found for place in (each.first, each.last)]
    assert places == sorted(places)
    assert all(before.last < after.first for before, after in pairwise(found))
    assert all(each.first >= 0 and each.last < len(words) and DOUBTFUL <= each.score <= 1 for each in found)
    assert all(each.sure == (each.score >= SURE) for each in found)


@given(st.lists(st.text(max_size=12), max_size=20))
def test_any_words_can_be_heard(words: list[str]) -> None:
    for each in find_mishearings(words, KNOWN):
        assert each.heard
        assert each.meant


def test_endless_words_and_labels_are_passed_over() -> None:
    endless = Concept(id="endless", label="endless " + "ab" * 20_000)
    known = known_words(FIGHTERS, Vocabulary(concepts=(*VOCABULARY.concepts, endless)))
    words = ["ab" * 20_000, "open", "guard", "bate", "ab" * 20_001]
    assert [(each.heard, each.meant) for each in find_mishearings(words, known)] == [
        ("open guard bate", "open-guard bait")
    ]


def test_what_is_refused_is_found_only_where_it_is_listed() -> None:
    words = ["core", "vale", "and", "brand", "all"]
    assert [each.heard for each in find_mishearings(words, KNOWN)] == ["core vale", "brand all"]
    assert [each.heard for each in find_mishearings(words, KNOWN, {"core vale", "brand all"})] == ["brand all"]


def test_the_same_words_are_repaired_without_punctuation() -> None:
    talk = "So, brand all's left hand: that's an open god bait! And core vale (again) steps inside"
    bare = [word.strip(string.punctuation).lower() for word in talk.split()]
    with_marks, without = find_mishearings(talk.split(), KNOWN), find_mishearings(bare, KNOWN)
    assert [(each.first, each.last, each.score) for each in with_marks] == [(e.first, e.last, e.score) for e in without]
    assert len(without) == 3
