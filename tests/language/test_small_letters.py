"""A first look on small letters never misses what the pattern itself would find."""

from __future__ import annotations

from pathlib import Path

import pytest

from fightnotes.language.negation import says_undone, spans_over
from fightnotes.language.results import _MAY_SAY, _OUTCOMES
from fightnotes.language.small_letters import lowered, small_pattern
from fightnotes.language.words import words_of
from fightnotes.reading.library import read_library

JUDGED = Path(__file__).parents[1] / "judged"
LIBRARIES = (Path(__file__).parents[2] / "corpus_demo", JUDGED / "second", JUDGED / "fields_tune")


@pytest.fixture(scope="module")
def texts() -> list[str]:
    """Of notes and talk as they stand, in capitals, and with a capital to each word."""
    said = [segment.text for root in LIBRARIES for segment in read_library(root).segments]
    return [form for text in said for form in (text, text.upper(), text.title())]


def test_each_letter_keeps_its_place() -> None:
    assert lowered("OVER. Ümoreke") == "over. ümoreke"
    assert lowered("İŞIK hits") == "İşik hits"  # in small letters the first would be two


def test_heads_of_groups_and_classes_of_letters_stay() -> None:
    match = small_pattern(r"(?P<Who>[A-Z]\w+) \S+ DOWN\b").search("corvale goes down.")
    assert match
    assert match["who"] == "corvale"


def test_no_outcome_is_missed(texts: list[str]) -> None:
    found = [(outcome, text) for text in texts for outcome, pattern in _OUTCOMES.items() if pattern.search(text)]
    assert len({outcome for outcome, _ in found}) == len(_OUTCOMES)
    assert [(outcome, text) for outcome, text in found if not _MAY_SAY[outcome].search(lowered(text))] == []


def test_no_denial_is_missed(texts: list[str]) -> None:
    undone = [text for text in texts if any(any(spans_over(text, one.begin, one.stop)) for one in words_of(text))]
    assert 0 < len(undone) < len(texts)
    assert [text for text in undone if not says_undone(text)] == []
