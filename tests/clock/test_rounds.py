"""Bells, the round clock, and the way between round clock and media time."""

from fractions import Fraction
from itertools import pairwise
from typing import Literal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fightnotes.clock import (
    Bell,
    ClockError,
    Placement,
    RoundClock,
    RoundFormat,
    elapsed_of,
    media_of,
    placement_of,
    resolve_bells,
)

TEN_DOWN = RoundFormat(10, Fraction(180), Fraction(60), "down")
FIVE_UP = RoundFormat(5, Fraction(300), Fraction(60), "up")
UNCOUNTED = RoundFormat(None, Fraction(180), Fraction(60), "down")

directions: st.SearchStrategy[Literal["down", "up"]] = st.sampled_from(["down", "up"])
formats = st.builds(
    RoundFormat,
    st.integers(1, 15),
    st.fractions(min_value=1, max_value=600, max_denominator=1000),
    st.fractions(min_value=0, max_value=120, max_denominator=1000),
    directions,
)


def _seconds(given_bells: dict[int, int]) -> dict[int, Fraction]:
    return {number: Fraction(time) for number, time in given_bells.items()}


def test_given_bells_stay_and_the_others_follow_the_nearest() -> None:
    bells = resolve_bells(_seconds({1: 250, 2: 490, 6: 1500}), TEN_DOWN)
    assert list(bells) == list(range(1, 11))
    assert [bells[number] for number in (1, 2, 6)] == [
        Bell(Fraction(250), False),
        Bell(Fraction(490), False),
        Bell(Fraction(1500), False),
    ]
    # Round 4 is as near to 2 as to 6: the earlier one decides. Round 5 follows 6.
    inferred = {3: 730, 4: 970, 5: 1260, 7: 1740, 8: 1980, 9: 2220, 10: 2460}
    assert {n: bell.time for n, bell in bells.items() if bell.inferred} == _seconds(inferred)


def test_none_given_none_inferred() -> None:
    assert resolve_bells({}, TEN_DOWN) == {}


def test_without_a_count_the_last_given_bell_is_the_last() -> None:
    assert list(resolve_bells(_seconds({3: 600}), UNCOUNTED)) == [1, 2, 3]


def test_a_recording_that_starts_late_has_bells_before_0() -> None:
    bells = resolve_bells(_seconds({2: 200}), TEN_DOWN)
    assert bells[1] == Bell(Fraction(-40), True)
    assert media_of(RoundClock(1, Fraction(10)), bells, TEN_DOWN) == 130
    assert media_of(RoundClock(1, Fraction(150)), bells, TEN_DOWN) is None


@pytest.mark.parametrize("given_bells", [{1: 0, 3: 100, 4: 340}, {1: 0, 3: 240, 4: 500}, {1: 0, 4: 400, 5: 700}])
def test_a_gap_that_the_format_cannot_fill_is_left_out(given_bells: dict[int, int]) -> None:
    bells = resolve_bells(_seconds(given_bells), TEN_DOWN)
    first, second, *_ = given_bells
    assert not [number for number in bells if first < number < second]
    assert set(given_bells) <= set(bells)
    assert list(bells)[-1] == 10
    assert media_of(RoundClock(first + 1, Fraction(10)), bells, TEN_DOWN) is None


def test_between_a_round_and_a_gap_no_placement() -> None:
    bells = resolve_bells(_seconds({1: 0, 3: 240}), TEN_DOWN)
    assert placement_of(Fraction(179), bells, TEN_DOWN) == Placement(1, Fraction(1), "round")
    assert placement_of(Fraction(180), bells, TEN_DOWN) is None
    assert placement_of(Fraction(240), bells, TEN_DOWN) == Placement(3, Fraction(180), "round")


@pytest.mark.parametrize("given_bells", [{1: 250, 2: 250}, {1: 490, 2: 250}, {1: 0, 5: 900, 7: 800}])
def test_bells_that_do_not_ascend_are_refused(given_bells: dict[int, int]) -> None:
    with pytest.raises(ClockError) as caught:
        resolve_bells(_seconds(given_bells), TEN_DOWN)
    assert caught.value.found.startswith("bell of round")


@pytest.mark.parametrize("number", [0, -1, 11])
def test_a_bell_of_no_round_is_refused(number: int) -> None:
    with pytest.raises(ClockError) as caught:
        resolve_bells({number: Fraction(0)}, TEN_DOWN)
    assert (caught.value.found, caught.value.expected) == (f"round {number}", "a round from 1 to 10")


def test_a_date_given_as_a_round_is_refused() -> None:
    with pytest.raises(ClockError):
        resolve_bells({20310308: Fraction(0)}, UNCOUNTED)


@pytest.mark.parametrize(
    ("fmt", "number", "reading", "media"),
    [
        (TEN_DOWN, 1, 180, 250),
        (TEN_DOWN, 1, 5, 425),
        (TEN_DOWN, 1, 0, 430),
        (TEN_DOWN, 4, 5, 1145),
        (FIVE_UP, 1, 0, 250),
        (FIVE_UP, 2, 5, 615),
        (FIVE_UP, 5, 300, 1990),
    ],
)
def test_media_of(fmt: RoundFormat, number: int, reading: int, media: int) -> None:
    bells = resolve_bells({1: Fraction(250)}, fmt)
    assert media_of(RoundClock(number, Fraction(reading)), bells, fmt) == media


def test_no_media_time_without_a_bell() -> None:
    assert media_of(RoundClock(4, Fraction(5)), {}, TEN_DOWN) is None
    assert media_of(RoundClock(4, Fraction(5)), resolve_bells({1: Fraction(0)}, UNCOUNTED), UNCOUNTED) is None


@pytest.mark.parametrize(
    ("number", "reading", "found", "expected"),
    [
        (4, Fraction(181), "R4 3:01", "a round clock from 0:00 to 3:00"),
        (4, Fraction(-1), "R4 -0:01", "a round clock from 0:00 to 3:00"),
        (11, Fraction(5), "round 11", "a round from 1 to 10"),
        (0, Fraction(5), "round 0", "a round from 1 to 10"),
    ],
)
def test_a_reading_that_the_bout_never_had(number: int, reading: Fraction, found: str, expected: str) -> None:
    for bells in ({}, resolve_bells({1: Fraction(0)}, TEN_DOWN)):
        with pytest.raises(ClockError) as caught:
            media_of(RoundClock(number, reading), bells, TEN_DOWN)
        assert (caught.value.found, caught.value.expected) == (found, expected)


@pytest.mark.parametrize(
    ("seconds", "placement"),
    [
        (Fraction(0), Placement(None, None, "before")),
        (Fraction(249), Placement(None, None, "before")),
        (Fraction(250), Placement(1, Fraction(180), "round")),
        (Fraction(859, 2), Placement(1, Fraction(1, 2), "round")),
        (Fraction(430), Placement(1, None, "rest")),
        (Fraction(489), Placement(1, None, "rest")),
        (Fraction(490), Placement(2, Fraction(180), "round")),
        (Fraction(2589), Placement(10, Fraction(1), "round")),
        (Fraction(2590), Placement(10, None, "after")),
        (Fraction(9999), Placement(10, None, "after")),
    ],
)
def test_placement_of(seconds: Fraction, placement: Placement) -> None:
    assert placement_of(seconds, resolve_bells({1: Fraction(250)}, TEN_DOWN), TEN_DOWN) == placement


def test_a_clock_that_runs_up_reads_upwards() -> None:
    bells = resolve_bells({1: Fraction(250)}, FIVE_UP)
    assert placement_of(Fraction(255), bells, FIVE_UP) == Placement(1, Fraction(5), "round")


def test_no_placement_without_a_bell() -> None:
    assert placement_of(Fraction(5), {}, TEN_DOWN) is None


def test_a_bell_that_rings_early_ends_the_round_before() -> None:
    bells = resolve_bells(_seconds({1: 0, 2: 100}), TEN_DOWN)
    assert placement_of(Fraction(99), bells, TEN_DOWN) == Placement(1, Fraction(81), "round")
    assert placement_of(Fraction(100), bells, TEN_DOWN) == Placement(2, Fraction(180), "round")


@given(formats, st.data())
def test_media_to_round_clock_and_back(fmt: RoundFormat, data: st.DataObject) -> None:
    numbers = data.draw(st.sets(st.integers(1, fmt.count or 1), min_size=1))
    steps = st.fractions(min_value=Fraction(1, 10), max_value=900, max_denominator=1000)
    time, given_bells = Fraction(0), {}
    for number in sorted(numbers):
        time += data.draw(steps)
        given_bells[number] = time
    bells = resolve_bells(given_bells, fmt)

    assert {number: bells[number] for number in given_bells} == {
        number: Bell(time, inferred=False) for number, time in given_bells.items()
    }
    assert all(earlier.time < later.time for earlier, later in pairwise(bells.values()))
    assert list(bells) == sorted(bells)

    seconds = data.draw(st.fractions(min_value=0, max_value=10**4, max_denominator=1000))
    placement = placement_of(seconds, bells, fmt)
    if placement is None:
        assert set(bells) != set(range(1, (fmt.count or 0) + 1))
    elif placement.period == "round":
        assert placement.round is not None
        assert placement.clock is not None
        assert media_of(RoundClock(placement.round, placement.clock), bells, fmt) == seconds
    else:
        assert placement.clock is None
        assert not any(0 <= seconds - bell.time < fmt.length for bell in bells.values())


@given(formats, st.data())
def test_round_clock_to_media_and_back_when_rounds_run_their_length(fmt: RoundFormat, data: st.DataObject) -> None:
    bells = resolve_bells({1: data.draw(st.fractions(min_value=0, max_value=1000, max_denominator=1000))}, fmt)
    number = data.draw(st.sampled_from(sorted(bells)))
    reading = RoundClock(number, fmt.length * data.draw(st.fractions(min_value=0, max_value=1, max_denominator=99)))
    media = media_of(reading, bells, fmt)
    assert media is not None
    placement = placement_of(media, bells, fmt)
    if elapsed_of(reading, fmt) < fmt.length:
        assert placement == Placement(number, reading.seconds, "round")
    else:
        assert placement is not None
        assert (placement.round, placement.period) != (number, "round")


@pytest.mark.parametrize(
    ("count", "length", "rest", "clock"),
    [
        (0, 180, 60, "down"),
        (1000, 180, 60, "down"),
        (3, 0, 60, "down"),
        (3, 180, -1, "up"),
        (3, 180, 60, "left"),
    ],
)
def test_a_format_that_no_bout_has(count: int, length: int, rest: int, clock: Literal["down", "up"]) -> None:
    with pytest.raises(ClockError):
        RoundFormat(count, Fraction(length), Fraction(rest), clock)
