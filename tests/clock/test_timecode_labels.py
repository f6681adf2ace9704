"""Timecode labels: reading, writing, counting there and back. Counts from outside sources: tests/outside."""

import pickle
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fightnotes.clock import (
    ClockError,
    Timecode,
    drop_allowed,
    format_timecode,
    frame_at,
    frame_of,
    frames_in_day,
    nearest_frame,
    nominal,
    parse_timecode,
    seconds_of_frame,
    timecode_of,
)

RATES = [Fraction(count) for count in (24, 25, 30, 50, 60)]
RATES += [Fraction(count * 1000, 1001) for count in (24, 25, 30, 50, 60)]
COUNTINGS = [(rate, False) for rate in RATES] + [(rate, True) for rate in RATES if drop_allowed(rate)]
NTSC = Fraction(30000, 1001)

countings = st.sampled_from(COUNTINGS)
times = st.fractions(min_value=0, max_value=10**6, max_denominator=10**6)


@given(countings, st.integers(0, 10**7))
def test_frame_to_label_and_back(counting: tuple[Fraction, bool], frame: int) -> None:
    rate, drop = counting
    label = timecode_of(frame, rate, drop)
    assert label.drop is drop
    assert frame_of(label, rate) == frame % frames_in_day(rate, drop)


@given(countings, st.integers(0, 23), st.integers(0, 59), st.integers(0, 59), st.integers(0, 59))
def test_label_to_frame_and_back(
    counting: tuple[Fraction, bool], hours: int, minutes: int, seconds: int, frames: int
) -> None:
    rate, drop = counting
    label = Timecode(hours, minutes, seconds, frames, drop)
    dropped = nominal(rate) // 15 if drop and seconds == 0 and minutes % 10 else 0
    if dropped <= frames < nominal(rate):
        assert timecode_of(frame_of(label, rate), rate, drop) == label
    else:
        with pytest.raises(ClockError):
            frame_of(label, rate)


@given(countings, st.integers(0, 10**7))
def test_labels_ascend_within_a_day(counting: tuple[Fraction, bool], frame: int) -> None:
    rate, drop = counting
    first, second = timecode_of(frame, rate, drop), timecode_of(frame + 1, rate, drop)
    if (frame + 1) % frames_in_day(rate, drop):
        assert format_timecode(first) < format_timecode(second)
    else:
        assert format_timecode(second)[:8] == "00:00:00"


@given(countings, st.integers(0, 10**7))
def test_written_label_is_read_back(counting: tuple[Fraction, bool], frame: int) -> None:
    label = timecode_of(frame, *counting)
    assert parse_timecode(format_timecode(label)) == label


@given(st.sampled_from([rate for rate in RATES if drop_allowed(rate)]), st.integers(0, 143))
def test_drop_frame_keeps_to_the_real_clock(rate: Fraction, tens: int) -> None:
    """What drop-frame is for: at each tenth minute the label is within a frame per ten hours of real time."""
    label = Timecode(tens // 6, tens % 6 * 10, 0, 0, drop=True)
    late = tens * 600 - seconds_of_frame(frame_of(label, rate), rate)
    assert 0 <= late < Fraction(1, 10)


def test_the_day_starts_again_after_its_last_frame() -> None:
    day = frames_in_day(NTSC, drop=True)
    assert format_timecode(timecode_of(day - 1, NTSC, True)) == "23:59:59;29"
    assert format_timecode(timecode_of(day, NTSC, True)) == "00:00:00;00"


@pytest.mark.parametrize(
    ("written", "rate", "expected"),
    [
        ("00:01:00;00", NTSC, "frames from 02 to 29"),
        ("00:01:00;01", NTSC, "frames from 02 to 29"),
        ("00:05:00;01", NTSC, "frames from 02 to 29"),
        ("00:59:00;03", Fraction(60000, 1001), "frames from 04 to 59"),
        ("00:00:00:25", Fraction(25), "frames from 00 to 24"),
        ("00:00:00:30", NTSC, "frames from 00 to 29"),
        ("00:00:01;02", Fraction(25), "rate 30000/1001 or 60000/1001"),
        ("00:00:01;02", Fraction(30), "rate 30000/1001 or 60000/1001"),
    ],
)
def test_a_label_that_does_not_exist_at_the_rate(written: str, rate: Fraction, expected: str) -> None:
    with pytest.raises(ClockError) as caught:
        frame_of(parse_timecode(written), rate)
    assert caught.value.expected.startswith(expected)


@pytest.mark.parametrize("written", ["00:10:00;00", "00:01:00;02", "00:01:00:00", "00:00:00;00"])
def test_labels_beside_the_dropped_ones_exist(written: str) -> None:
    label = parse_timecode(written)
    assert timecode_of(frame_of(label, NTSC), NTSC, label.drop) == label


@pytest.mark.parametrize(
    "written",
    [
        *["", "00:00:00", "0:00:00:00", "00:00:00:0", "00:00:00:0000", "00;00;00;00", "00:00:00.00"],
        *["24:00:00:00", "00:60:00:00", "00:00:60:00", "00:00:00:00 ", "-1:00:00:00", "٠٠:00:00:00"],
    ],
)
def test_parse_timecode_refuses(written: str) -> None:
    with pytest.raises(ClockError) as caught:
        parse_timecode(written)
    assert caught.value.found == (written or "nothing")


@pytest.mark.parametrize("fields", [(-1, 0, 0, 0), (0, -1, 0, 0), (0, 0, -1, 0), (0, 0, 0, -1), (0, 0, 0, 1000)])
def test_no_timecode_with_fields_out_of_range(fields: tuple[int, int, int, int]) -> None:
    with pytest.raises(ClockError):
        Timecode(*fields, drop=False)


def test_no_label_before_frame_0_and_none_dropped_at_25() -> None:
    with pytest.raises(ClockError):
        timecode_of(-1, NTSC, True)
    with pytest.raises(ClockError):
        timecode_of(0, Fraction(25), True)
    with pytest.raises(ClockError):
        frames_in_day(Fraction(30), drop=True)


@given(st.sampled_from(RATES), st.integers(-(10**7), 10**7))
def test_frame_to_seconds_and_back(rate: Fraction, frame: int) -> None:
    seconds = seconds_of_frame(frame, rate)
    assert frame_at(seconds, rate) == nearest_frame(seconds, rate) == frame
    just_before = seconds - Fraction(1, 10**9)
    assert (frame_at(just_before, rate), nearest_frame(just_before, rate)) == (frame - 1, frame)


@given(st.sampled_from(RATES), times)
def test_an_instant_lies_in_its_frame(rate: Fraction, seconds: Fraction) -> None:
    frame = frame_at(seconds, rate)
    assert seconds_of_frame(frame, rate) <= seconds < seconds_of_frame(frame + 1, rate)
    assert abs(seconds_of_frame(nearest_frame(seconds, rate), rate) - seconds) <= 1 / rate / 2


def test_half_way_the_later_frame_is_nearest() -> None:
    assert nearest_frame(Fraction(1, 50), Fraction(25)) == 1


def test_an_error_says_what_it_found_and_survives_another_process() -> None:
    error = ClockError("0:75", "seconds from 00 to 59", 3)
    again = pickle.loads(pickle.dumps(error))
    assert str(again) == "found 0:75, expected seconds from 00 to 59"
    assert (again.found, again.expected, again.position) == ("0:75", "seconds from 00 to 59", 3)
    assert isinstance(again, ValueError)
