from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fightnotes.language.english import STOP_WORDS
from fightnotes.language.term_extraction import c_values, placed_candidates
from fightnotes.model import fold
from tests.term_counts import term_candidates


def found(text: str, **options: object) -> set[str]:
    return {" ".join(words) for words in term_candidates([text], **options)}  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("text", "candidates"),
    [
        ("the lead hand", {"lead hand"}),
        ("Lead-hand fight", {"lead hand", "lead hand fight", "hand fight"}),
        ("a change of stance", {"change of stance"}),
        ("back to the ropes", {"back to the ropes"}),
        ("steps in with the jab", set()),
        ("jab, cross; hook. Uppercut (short) – body", set()),
        ("the jab and the cross", set()),
        ("R4 left hook 0:05 counter", {"left hook"}),
        ("shoulder\nroll\n\nbody shot", {"shoulder roll", "body shot"}),
        ("Séance d'été", {"seance d'ete"}),
        ("jab", set()),
        ("", set()),
    ],
)
def test_candidates(text: str, candidates: set[str]) -> None:
    assert found(text) == candidates


def test_names_end_a_phrase() -> None:
    assert found("right hand Corvale open guard", breaks={"corvale"}) == {"right hand", "open guard"}


def test_no_candidate_is_longer_than_asked() -> None:
    assert max(len(words) for words in term_candidates(["a1 b c d e f g"], longest=3)) == 3


pieces = st.sampled_from(["jab", "the", "of", "with", "hook", ",", "-", "\n", "x1", "Élan", "it's"])


@given(st.lists(pieces).map(" ".join))
def test_each_candidate_stands_at_its_place_and_is_bounded(text: str) -> None:
    for start, end, words in placed_candidates(text):
        assert fold(text[start:end]) == " ".join(words)
        assert len(words) >= 2
        assert words[0] not in STOP_WORDS
        assert words[-1] not in STOP_WORDS
        assert not any(char.isdigit() for word in words for char in word)


@given(st.dictionaries(st.lists(st.sampled_from("abc"), min_size=1, max_size=5).map(tuple), st.integers(1, 50)))
def test_a_term_that_nothing_holds_is_worth_its_frequency_and_length(counts: dict[tuple[str, ...], int]) -> None:
    values = c_values(counts)
    assert values.keys() == counts.keys()
    assert all(values[term] == 0 for term in counts if len(term) == 1)
    longest = max((len(term) for term in counts), default=0)
    for term, count in counts.items():
        if len(term) == longest > 1:
            assert values[term] == pytest.approx(math.log2(longest) * count)


def test_every_stop_word_is_as_a_word_of_a_text_is() -> None:
    assert {fold(word) for word in STOP_WORDS} == STOP_WORDS
