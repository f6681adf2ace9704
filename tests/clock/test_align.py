"""From a recording's time to the footage's."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fightnotes.clock import Alignment, ClockError

Pairs = tuple[tuple[Fraction, Fraction], ...]


def _pairs(*pairs: tuple[int, int]) -> Pairs:
    return tuple((Fraction(recording), Fraction(footage)) for recording, footage in pairs)


@pytest.mark.parametrize(
    ("recording", "footage"),
    [
        (Fraction(11), None),
        (Fraction(12), Fraction(292)),
        (Fraction(13), Fraction(293)),
        (Fraction(20), Fraction(300)),
        (Fraction(21), 300 + Fraction(5, 2)),
        (Fraction(61, 3), 300 + Fraction(5, 6)),
        (Fraction(30), Fraction(325)),
        (Fraction(30) + Fraction(1, 10**9), None),
    ],
)
def test_to_footage(recording: Fraction, footage: Fraction | None) -> None:
    assert Alignment(_pairs((12, 292), (20, 300), (30, 325))).to_footage(recording) == footage


def test_one_pair_maps_its_instant_alone() -> None:
    alignment = Alignment(_pairs((12, 292)))
    assert [alignment.to_footage(Fraction(second)) for second in (11, 12, 13)] == [None, 292, None]


def test_no_pair_maps_nothing() -> None:
    assert Alignment(()).to_footage(Fraction(0)) is None


@pytest.mark.parametrize(
    ("pairs", "found"),
    [
        (_pairs((12, 292), (12, 300)), "0:12 in the recording"),
        (_pairs((12, 292), (11, 300)), "0:11 in the recording"),
        (_pairs((12, 292), (20, 292)), "4:52 in the footage"),
        (_pairs((12, 292), (20, 300), (30, 299)), "4:59 in the footage"),
    ],
)
def test_pairs_that_do_not_ascend_are_refused(pairs: Pairs, found: str) -> None:
    with pytest.raises(ClockError) as caught:
        Alignment(pairs)
    assert caught.value.found == found


times = st.fractions(min_value=0, max_value=10**5, max_denominator=1000)


def _distinct(count: int) -> st.SearchStrategy[list[Fraction]]:
    return st.lists(times, min_size=count, max_size=count, unique=True)


@given(
    st.integers(2, 6).flatmap(lambda count: st.tuples(_distinct(count), _distinct(count))),
    st.tuples(times, times),
)
def test_footage_ascends_stays_within_the_pairs_and_inverts(
    sides: tuple[list[Fraction], list[Fraction]], instants: tuple[Fraction, Fraction]
) -> None:
    recording, footage = (sorted(side) for side in sides)
    there = Alignment(tuple(zip(recording, footage, strict=True)))
    back = Alignment(tuple(zip(footage, recording, strict=True)))
    mapped = []
    for instant in sorted(instants):
        place = there.to_footage(instant)
        assert (place is not None) == (recording[0] <= instant <= recording[-1])
        if place is not None:
            assert footage[0] <= place <= footage[-1]
            assert back.to_footage(place) == instant
            mapped.append(place)
    assert mapped == sorted(mapped)
