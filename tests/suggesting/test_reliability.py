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


def _landed(right: int, of: int, said: float = 0.8) -> list[ToldField]:
    return [ToldField("outcome", "landed", said, number < right) for number in range(of)]


def test_without_notes_it_is_as_was_said() -> None:
    assert reliability_of([]).probability("outcome", "landed", 0.8) == pytest.approx(0.8)


def test_it_goes_towards_the_share_that_is_right() -> None:
    few, many = reliability_of(_landed(3, 5)), reliability_of(_landed(600, 1000))
    assert 0.7 < few.probability("outcome", "landed", 0.8) < 0.8
    assert many.probability("outcome", "landed", 0.8) == pytest.approx(0.6, abs=0.02)


def test_right_as_often_as_said_changes_nothing() -> None:
    assert reliability_of(_landed(80, 100)).probability("outcome", "landed", 0.8) == pytest.approx(0.8)


def test_one_outcome_may_be_right_less_often_than_the_others() -> None:
    found = reliability_of([*_landed(50, 100), *(ToldField("outcome", "missed", 0.8, True) for _ in range(100))])
    of_landed, of_missed, of_hurt = (found.probability("outcome", each, 0.8) for each in ("landed", "missed", "hurt"))
    assert of_landed < of_hurt < of_missed


def test_who_acts_is_judged_by_no_single_fighter() -> None:
    told = [
        ToldField("by", fighter, 0.8, fighter == "corvale") for fighter in ("corvale", "brandaal") for _ in range(50)
    ]
    found = reliability_of(told)
    assert found.probability("by", "corvale", 0.8) == found.probability("by", "brandaal", 0.8) < 0.8


def test_other_fields_stay_as_they_are() -> None:
    assert reliability_of(_landed(0, 100)).probability("target", "head", 0.95) == pytest.approx(0.95)


def test_what_was_taken_in_bulk_makes_nothing_certain() -> None:
    assert reliability_of(_landed(5000, 5000)).probability("outcome", "landed", 0.8) < 0.92


def test_a_library_that_notes_otherwise_is_told_so(make_library: Callable[[Mapping[str, str]], Path]) -> None:
    def landed(written: str) -> float:
        notes = "".join(f"- 1:{second} Corvale jab lands. outcome:{written}\n" for second in range(10, 40))
        made = open_library(make_library({"bouts/one.md": f"{FRONT}- 0:10 Corvale jab lands.\n{notes}"}))
        made.build()
        found = made.suggest_marks(above=0.0, only="fields")
        return next(each.probability for each in found if each.name == "outcome:landed")

    assert landed("partial") < 0.5 < landed("landed")
