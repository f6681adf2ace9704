"""What an answer from words is worth in a library: how often its notes have what their words tell."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path

import pytest

from fightnotes.library import open_library
from fightnotes.suggesting.reliability import ToldField, reliability_of

FRONT = """---
bout: one
red: {name: Ines Corvale, also: [Corvale]}
blue: {name: Rika Brandaal, also: [Brandaal]}
---
"""


def _told(right: int, of: int, said: float = 0.8, key: str = "on") -> list[ToldField]:
    return [ToldField(key, said, number < right) for number in range(of)]


def test_without_notes_it_is_as_was_said() -> None:
    assert reliability_of([]).probability("on", 0.8) == pytest.approx(0.8)


def test_it_goes_towards_the_share_that_is_right() -> None:
    few, many = reliability_of(_told(3, 5)), reliability_of(_told(600, 1000))
    assert 0.7 < few.probability("on", 0.8) < 0.8
    assert many.probability("on", 0.8) == pytest.approx(0.6, abs=0.02)


def test_right_as_often_as_said_changes_nothing() -> None:
    assert reliability_of(_told(80, 100)).probability("on", 0.8) == pytest.approx(0.8)


def test_one_field_may_be_right_less_often_than_another() -> None:
    found = reliability_of([*_told(50, 100), *_told(100, 100, key="by")])
    assert found.probability("on", 0.8) < 0.8 < found.probability("by", 0.8)
    assert found.probability("target", 0.95) == pytest.approx(0.95)


def test_what_was_taken_in_bulk_makes_nothing_certain() -> None:
    assert reliability_of(_told(5000, 5000)).probability("on", 0.8) < 0.92


def test_a_library_that_notes_otherwise_is_told_so(make_library: Callable[[Mapping[str, str]], Path]) -> None:
    def struck(whom: str) -> float:
        notes = "".join(f"- 1:{second} Corvale lands the jab. by:corvale on:{whom}\n" for second in range(10, 40))
        made = open_library(make_library({"bouts/one.md": f"{FRONT}- 0:10 Corvale lands the jab.\n{notes}"}))
        made.build()
        found = made.suggest_marks(above=0.0, only="fields")
        return next(each.probability for each in found if each.name == "on:brandaal")

    assert struck("corvale") < 0.5 < struck("brandaal")
