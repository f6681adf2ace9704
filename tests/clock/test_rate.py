"""Frame rates as people and files write them."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fightnotes.clock import ClockError, drop_allowed, nominal, parse_rate

SLOWED = [Fraction(count * 1000, 1001) for count in (24, 30, 48, 60, 120)]


@pytest.mark.parametrize(
    ("written", "rate"),
    [
        ("30000/1001", Fraction(30000, 1001)),
        (" 25 ", Fraction(25)),
        (25, Fraction(25)),
        (Fraction(60000, 1001), Fraction(60000, 1001)),
        ("29.97", Fraction(30000, 1001)),
        (29.97, Fraction(30000, 1001)),
        ("29.970", Fraction(30000, 1001)),
        ("23.976", Fraction(24000, 1001)),
        ("23.98", Fraction(24000, 1001)),
        ("23.97", Fraction(24000, 1001)),
        ("47.952", Fraction(48000, 1001)),
        ("59.94", Fraction(60000, 1001)),
        ("119.88", Fraction(120000, 1001)),
        ("25.0", Fraction(25)),
        ("12.5", Fraction(25, 2)),
        ("24.975", Fraction(999, 40)),
        ("29.98", Fraction(1499, 50)),
        ("29.9", Fraction(299, 10)),
        ("1000", Fraction(1000)),
    ],
)
def test_parse_rate(written: str | int | float | Fraction, rate: Fraction) -> None:
    assert parse_rate(written) == rate


@pytest.mark.parametrize(
    "written",
    [
        *["0", "0/1001", 0, "-25", -25, Fraction(-25, 2), "25/0", "1001", "1000.001"],
        *["", "fast", "25 fps", "25p", "1e2", "25/1/1", "30000/", ".5", "٢٥", "1" * 5000],
        *[float("inf"), float("nan"), True],
    ],
)
def test_parse_rate_refuses(written: str | int | float | Fraction) -> None:
    with pytest.raises(ClockError) as caught:
        parse_rate(written)
    assert caught.value.found == (str(written) or "nothing")
    assert "frame rate" in caught.value.expected


@pytest.mark.parametrize("rate", SLOWED)
def test_a_float_of_a_slowed_rate_is_that_rate(rate: Fraction) -> None:
    assert parse_rate(float(rate)) == rate


@given(st.integers(1, 10**6), st.integers(1, 10**6))
def test_a_fraction_is_read_exactly(numerator: int, denominator: int) -> None:
    rate = Fraction(numerator, denominator)
    if rate <= 1000:
        assert parse_rate(f"{numerator}/{denominator}") == rate
        assert parse_rate(str(rate)) == rate


@pytest.mark.parametrize(
    ("rate", "count"),
    [
        (Fraction(24000, 1001), 24),
        (Fraction(25), 25),
        (Fraction(30000, 1001), 30),
        (Fraction(60000, 1001), 60),
        (Fraction(120000, 1001), 120),
        (Fraction(25, 2), 13),
        (Fraction(1, 10), 1),
    ],
)
def test_nominal(rate: Fraction, count: int) -> None:
    assert nominal(rate) == count


def test_drop_frame_is_for_two_rates() -> None:
    """SMPTE ST 12-1 defines drop-frame for 30000/1001 and 60000/1001."""
    rates = [Fraction(count) for count in (24, 25, 30, 48, 50, 60, 120)] + SLOWED
    assert [rate for rate in rates if drop_allowed(rate)] == [Fraction(30000, 1001), Fraction(60000, 1001)]
