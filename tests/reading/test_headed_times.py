"""Whether times below headings are of the round's clock, or of the footage."""

from __future__ import annotations

from fractions import Fraction
from itertools import accumulate

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fightnotes.reading.headed_times import headed_clock

Rounds = list[list[int]]
ROUNDS = st.lists(st.lists(st.integers(1, 30), min_size=2, max_size=6), min_size=2, max_size=8)
"""Of each round, the seconds from one note to the next."""


def clock(*files: Rounds) -> tuple[str, bool] | None:
    """Of files with the times of round 1, 2, ... each."""
    times = [[(number, Fraction(each)) for number, times in enumerate(rounds, 1) for each in times] for rounds in files]
    found = headed_clock(times)
    return (found.direction, found.sure) if found else None


@given(ROUNDS)
def test_times_of_the_footage_are_never_a_clock(steps: Rounds) -> None:
    numbers = iter(accumulate(step for each in steps for step in each))
    assert clock([[next(numbers) for _ in each] for each in steps]) is None


@given(ROUNDS)
def test_a_clock_that_runs_down_is_known(steps: Rounds) -> None:
    assert clock([[180 - gone for gone in accumulate(each)] for each in steps]) == ("down", True)


@given(ROUNDS)
def test_a_clock_that_runs_up_is_known(steps: Rounds) -> None:
    """Where each round begins before the one before it ended."""
    assert clock([[1, *(1 + gone for gone in accumulate(each))] for each in steps]) == ("up", True)


@pytest.mark.parametrize(
    ("files", "expected"),
    [
        ([], None),
        ([[[10]]], None),
        ([[[120, 90]]], ("down", False)),  # one step may be a slip
        ([[[10], [5]]], ("up", False)),
        ([[[1210, 1200, 1190]]], None),  # no round lasts so long
        ([[[170, 150, 160, 140, 145, 120]]], None),  # both ways
        ([[[10, 20], [15, 30], [200, 210]]], None),
    ],
)
def test_what_little_tells(files: list[Rounds], expected: tuple[str, bool] | None) -> None:
    assert clock(*files) == expected


def test_files_of_a_round_each_are_read_on() -> None:
    one, two = [(1, Fraction(10)), (1, Fraction(90))], [(2, Fraction(5)), (2, Fraction(80))]
    found = headed_clock([one, two])
    assert found is not None
    assert (found.direction, found.sure) == ("up", True)
    assert headed_clock([one, one]) is None  # a second look at the same round
