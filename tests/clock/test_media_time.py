"""Media times: reading and writing."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fightnotes.clock import ClockError, format_media_time, parse_media_time


@pytest.mark.parametrize(
    ("written", "seconds"),
    [
        ("0:00", Fraction(0)),
        ("4:05", Fraction(245)),
        ("75:59", Fraction(4559)),
        ("1:04:05", Fraction(3845)),
        ("100:00:00", Fraction(360000)),
        ("0:05.1", Fraction(51, 10)),
        ("1:00:00.000000001", 3600 + Fraction(1, 10**9)),
    ],
)
def test_parse(written: str, seconds: Fraction) -> None:
    assert parse_media_time(written) == seconds


@pytest.mark.parametrize(
    ("written", "expected"),
    [
        ("0:60", "seconds from 00 to 59"),
        ("1:00:60", "seconds from 00 to 59"),
        ("1:60:00", "minutes from 00 to 59"),
        ("0:05,5", "a point, not a comma"),
        ("00:00:05,500", "a point, not a comma"),
        ("1:2", "a time such as"),
        ("1:002", "a time such as"),
        ("1:2:03", "a time such as"),
        ("12", "a time such as"),
        ("0:05.", "a time such as"),
        ("-0:05", "a time such as"),
        (" 0:05", "a time such as"),
        ("0:05\n", "a time such as"),
        ("00:00:00:00", "a time such as"),
        ("٤:٠٥", "a time such as"),
        ("", "a time such as"),
        ("1" * 5000 + ":00", "a time such as"),
    ],
)
def test_parse_refuses(written: str, expected: str) -> None:
    with pytest.raises(ClockError) as caught:
        parse_media_time(written)
    assert caught.value.found == (written or "nothing")
    assert caught.value.expected.startswith(expected)


@pytest.mark.parametrize(
    ("seconds", "decimals", "written"),
    [
        (Fraction(0), None, "0:00"),
        (Fraction(245), None, "4:05"),
        (Fraction(3599), None, "59:59"),
        (Fraction(3845), None, "1:04:05"),
        (Fraction(11, 2), None, "0:05.5"),
        (Fraction(1, 3), None, "0:00.333"),
        (Fraction(599999, 10000), None, "1:00"),
        (Fraction(5), 3, "0:05.000"),
        (Fraction(11, 2), 0, "0:06"),
        (Fraction(7199999, 2000), 3, "1:00:00.000"),
        (Fraction(-11, 2), None, "-0:05.5"),
        (Fraction(-1, 10000), None, "0:00"),
    ],
)
def test_format(seconds: Fraction, decimals: int | None, written: str) -> None:
    assert format_media_time(seconds, decimals) == written


@given(st.integers(0, 10**12), st.integers(0, 9))
def test_written_time_is_read_back(units: int, decimals: int) -> None:
    seconds = Fraction(units, 10**decimals)
    assert parse_media_time(format_media_time(seconds, decimals)) == seconds


@given(st.fractions(min_value=0, max_value=10**6), st.integers(0, 6))
def test_writing_is_off_by_half_a_place_at_most(seconds: Fraction, decimals: int) -> None:
    half = Fraction(1, 2 * 10**decimals)
    assert abs(parse_media_time(format_media_time(seconds, decimals)) - seconds) <= half
