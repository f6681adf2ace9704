"""Timecode counting against a published standard and two reference libraries.

- SMPTE ST 12-1 (time and control code), drop-frame counting at 30000/1001: 17,982 frames in ten minutes,
  107,892 in an
  hour, 2,589,408 in a day.
- OpenTimelineIO, `opentimelineio.opentime`: counts from frame 0.
- The package `timecode` 1.5.1: counts from frame 1, so that its frame n + 1 is our frame n.

Every frame of 24 hours at 30000/1001 drop-frame is compared with OpenTimelineIO. Every frame of the other
countings would take over a minute, so that each 11th is compared and all around each minute's start, where
labels drop or turn over (11 shares no factor with any count of frames). The slower `timecode` gets each 97th.
"""

from fractions import Fraction

import pytest
from opentimelineio import opentime
from timecode.timecode import Timecode as ReferenceTimecode

from fightnotes.clock import (
    Timecode,
    format_timecode,
    frame_of,
    frames_in_day,
    nominal,
    parse_timecode,
    timecode_of,
)

NTSC = Fraction(30000, 1001)
COUNTINGS = [
    pytest.param(NTSC, True, "29.97", id="29.97 drop"),
    pytest.param(Fraction(60000, 1001), True, "59.94", id="59.94 drop"),
    pytest.param(Fraction(24), False, "24", id="24"),
    pytest.param(Fraction(25), False, "25", id="25"),
    pytest.param(Fraction(30), False, "30", id="30"),
]


def test_smpte_counts_of_drop_frame() -> None:
    assert frame_of(Timecode(0, 10, 0, 0, drop=True), NTSC) == 17_982
    assert frame_of(Timecode(1, 0, 0, 0, drop=True), NTSC) == 107_892
    assert frames_in_day(NTSC, drop=True) == 2_589_408
    assert frame_of(Timecode(23, 59, 59, 29, drop=True), NTSC) == 2_589_407


def test_smpte_labels_dropped_in_an_hour() -> None:
    """Two labels at the start of each minute, none at each tenth: 108 of an hour's 108,000."""
    labels = {format_timecode(timecode_of(frame, NTSC, True)) for frame in range(107_892)}
    every = {
        format_timecode(Timecode(0, minute, second, frame, drop=True))
        for minute in range(60)
        for second in range(60)
        for frame in range(30)
    }
    dropped = {f"00:{minute:02d}:00;0{frame}" for minute in range(60) if minute % 10 for frame in (0, 1)}
    assert every - labels == dropped
    assert labels <= every


def test_every_frame_of_the_first_and_the_last_hour_of_drop_frame_against_opentimelineio() -> None:
    rate, hour, day = float(NTSC), 107_892, 2_589_408
    for frame in (*range(hour), *range(day - hour, day)):
        ours = format_timecode(timecode_of(frame, NTSC, True))
        assert ours == opentime.to_timecode(opentime.RationalTime(frame, rate), rate, True), frame


def _frames(rate: Fraction, drop: bool) -> list[int]:
    """Each 11th frame of a day, and the 33 around each minute's start on the real clock."""
    day = frames_in_day(rate, drop)
    frames = set(range(0, day, 11))
    real = rate if drop else Fraction(nominal(rate))
    for minute in range(24 * 60):
        start = round(minute * 60 * real)
        frames.update(range(max(0, start - 16), min(day, start + 17)))
    return sorted(frames)


@pytest.mark.parametrize(("rate", "drop", "name"), COUNTINGS)
def test_a_day_of_labels_there_and_back_against_opentimelineio(rate: Fraction, drop: bool, name: str) -> None:
    reference = float(rate)
    for frame in _frames(rate, drop):
        label = opentime.to_timecode(opentime.RationalTime(frame, reference), reference, drop)
        assert format_timecode(timecode_of(frame, rate, drop)) == label, frame
        assert frame_of(parse_timecode(label), rate) == frame
        assert opentime.from_timecode(label, reference).value == frame


@pytest.mark.parametrize(("rate", "drop", "name"), COUNTINGS)
def test_a_day_of_labels_against_timecode(rate: Fraction, drop: bool, name: str) -> None:
    for frame in range(0, frames_in_day(rate, drop), 97):
        reference = ReferenceTimecode(name, frames=frame + 1)
        assert format_timecode(timecode_of(frame, rate, drop)) == str(reference), frame
        assert ReferenceTimecode(name, str(reference)).frames == frame + 1


@pytest.mark.parametrize(("rate", "drop", "name"), COUNTINGS)
def test_the_day_turns_over_as_in_opentimelineio(rate: Fraction, drop: bool, name: str) -> None:
    reference, day = float(rate), frames_in_day(rate, drop)
    for frame in range(day - 40, day + 40):
        label = opentime.to_timecode(opentime.RationalTime(frame, reference), reference, drop)
        assert format_timecode(timecode_of(frame, rate, drop)) == label, frame
