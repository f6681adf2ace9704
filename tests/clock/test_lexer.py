"""Times and ranges in a text: the golden cases of tests/cases/times.md, and what holds for any text."""

from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fightnotes.clock import (
    ClockError,
    MediaTime,
    RoundClock,
    SpanToken,
    Time,
    Timecode,
    format_media_time,
    format_timecode,
    parse_time,
    read_span,
    read_time,
    refuse_near_time,
)

_COUNTING = {None: "", "clock": "shown ", "left": "left ", "gone": "gone "}
CASES = Path(__file__).parents[1] / "cases" / "times.md"


def _cases() -> list[tuple[str, str, str]]:
    """Title, text, and what is read, of each case."""
    parts = CASES.read_text(encoding="utf-8").split("\n.\n")
    titles = [part.strip().split("\n")[-1] for part in parts[:-1:3]]
    assert len(parts) % 3 == 1, "a case is a title, a text and what is read, a dot behind each"
    return list(zip(titles, (part.strip("\n") for part in parts[1::3]), parts[2::3], strict=True))


def _said(time: Time) -> str:
    if isinstance(time, Timecode):
        return f"timecode {format_timecode(time)}"
    # A decimal fraction's seconds, written without rounding: every case has at most four places.
    seconds = format(float(time.seconds), ".15g")
    return f"round {time.round} at {seconds}" if isinstance(time, RoundClock) else f"media {seconds}"


def _token_or_mistake(text: str, position: int = 0) -> SpanToken | ClockError | None:
    try:
        return read_span(text, position)
    except ClockError as error:
        return error


def _read(text: str) -> str:
    token = _token_or_mistake(text)
    if isinstance(token, ClockError):
        return f"mistake at {token.position}: {token}"
    if token is None:
        return _unclear_or_plain(text)
    times = _said(token.start) if token.end is None else f"{_said(token.start)} -> {_said(token.end)}"
    how = f"{'about ' if token.about else ''}{_COUNTING[token.counting]}"
    return f"{how}{times} | {text[token.stop :].strip()}".rstrip()


def _unclear_or_plain(text: str) -> str:
    try:
        refuse_near_time(text)
    except ClockError as error:
        return f"unclear at {error.position}: {error}"
    return "plain text"


@pytest.mark.parametrize(
    ("text", "expected"), [pytest.param(text, expected, id=title) for title, text, expected in _cases()]
)
def test_golden_case(text: str, expected: str) -> None:
    assert _read(text) == expected


def test_the_cases_have_titles_of_their_own() -> None:
    titles = [title for title, _, _ in _cases()]
    assert len(titles) > 60
    assert len(set(titles)) == len(titles)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("see 4:05 here", (4, 8, MediaTime(Fraction(245)))),
        ("see R4 0:05.5 here", (4, 13, RoundClock(4, Fraction(11, 2)))),
        ("see 00:01:02;03", (4, 15, Timecode(0, 1, 2, 3, drop=True))),
    ],
)
def test_token_carries_offsets_from_any_position(text: str, expected: tuple[int, int, Time]) -> None:
    token = read_time(text, 4)
    assert token is not None
    assert (token.begin, token.stop, token.time) == expected


def test_span_and_mistake_carry_offsets_from_any_position() -> None:
    token = read_span("- R1 0:41 – 0:36 lifts", 2)
    assert token is not None
    assert (token.begin, token.stop) == (2, 16)
    with pytest.raises(ClockError) as caught:
        read_span("- R1 0:41-0:99 lifts", 2)
    assert (caught.value.position, caught.value.found) == (10, "0:99")


def test_a_range_ends_on_its_line() -> None:
    token = read_span("0:05 -\n0:10")
    assert token is not None
    assert (token.stop, token.end) == (4, None)


@pytest.mark.parametrize("text", [" 0:05 ", "0:05"])
def test_parse_time_takes_the_whole_text(text: str) -> None:
    assert parse_time(text) == MediaTime(Fraction(5))


@pytest.mark.parametrize("text", ["", "0:05 jab", "0:05-0:10", "jab", "3:1", "R4", "10:30 am"])
def test_parse_time_refuses_anything_else(text: str) -> None:
    with pytest.raises(ClockError):
        parse_time(text)


@given(st.integers(0, 10**7), st.integers(1, 99))
def test_what_is_written_is_read_back(milliseconds: int, number: int) -> None:
    seconds = Fraction(milliseconds, 1000)
    written = format_media_time(seconds)
    assert parse_time(written) == MediaTime(seconds)
    assert parse_time(f"R{number} {written}") == RoundClock(number, seconds)


@given(st.text(alphabet="0123459:;.,-–to Rr#axp\n", max_size=30), st.integers(0, 5))
def test_any_text_is_a_time_or_plain_or_a_placed_mistake(text: str, position: int) -> None:
    token = _token_or_mistake(text, position)
    if isinstance(token, ClockError):
        assert token.position is not None
        assert text[token.position :].startswith(token.found)
    elif token is not None:
        assert position <= token.begin < token.stop <= len(text)
        assert not text[token.stop : token.stop + 1].isalnum()
        assert read_span(text[position : token.stop]) is not None


@given(st.sampled_from(["0:05", "1:02:03.5", "00:01:02:03", "R2 1:00"]), st.sampled_from("0aZé٤"))
def test_a_time_never_ends_inside_a_word(written: str, more: str) -> None:
    token = _token_or_mistake(written + more)
    assert not isinstance(token, SpanToken) or token.stop == len(written) + 1


def test_a_very_long_number_is_a_mistake_and_no_crash() -> None:
    with pytest.raises(ClockError):
        read_time("1" * 5000 + ":00")
    with pytest.raises(ClockError):
        read_time("0:00." + "1" * 5000)
    assert read_time("R" + "1" * 5000 + " 0:05") is None
