"""Times of notes on other recordings, timecodes, inferred bells, and the ends that are not written.

What stands in one bout with plain times is in tests/cases/notes.md.
"""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest

from fightnotes.model import Segment, Settings
from fightnotes.reading.library import read_library

USUAL = "default_length: 12"


def read(tmp_path: Path, front_matter: str, note: str, settings: str = USUAL, **sources: str) -> list[Segment]:
    files = {"library.yaml": settings, "bouts/b.md": f"---\n{front_matter}\n---\n{note}"}
    for name, text in {**files, **{name.replace("__", "."): text for name, text in sources.items()}}.items():
        path = tmp_path / name
        path.parent.mkdir(exist_ok=True)
        path.write_bytes(text.encode())
    reading = read_library(tmp_path)
    assert reading.problems == ()
    return list(reading.segments)


ROUNDS = 'rounds: {count: 3, length: "3:00", rest: "1:00"}\n'


@pytest.mark.parametrize(
    ("settings", "end"),
    [
        ("", 300 + Settings().default_length),
        (USUAL, 312),
        ("default_length: 5", 305),
        ("default_length: 0:30.5", Fraction("330.5")),
        ("default_length: 90", 380),
    ],
)
def test_the_longest_that_an_open_end_may_be(settings: str, end: Fraction, tmp_path: Path) -> None:
    first, _ = read(tmp_path, ROUNDS, "- 5:00 a\n- 6:20 b\n", settings)
    assert (first.start, first.end, first.end_given) == (300, end, False)


def test_an_inferred_bell_is_marked(tmp_path: Path) -> None:
    front_matter = ROUNDS + 'media: {bells: {2: "10:00"}}'
    notes = "- R1 1:00 a\n- R2 1:00 b\n- R3 1:00 c\n- 15:00 d\n- 13:30 e\n- 1:00 f\n"
    segments = read(tmp_path, front_matter, notes)
    assert [(s.start, s.round, s.period, s.bell_inferred) for s in segments] == [
        (480, 1, "round", True),
        (720, 2, "round", False),
        (960, 3, "round", True),
        (900, 3, "round", True),
        (810, 2, "rest", False),
        (60, None, "before", False),
    ]


def test_a_clock_that_runs_up(tmp_path: Path) -> None:
    front_matter = 'rounds: {count: 3, length: "5:00", clock: up}\nmedia: {bells: {1: "1:00"}}'
    placed, ranged, media = read(tmp_path, front_matter, "- R1 4:55 a\n- R2 0:41-0:50 b\n- 8:00 c\n")
    assert (placed.start, placed.end) == (355, 360)
    assert (ranged.start, ranged.end, ranged.clock_start, ranged.clock_end) == (461, 470, 41, 50)
    assert (media.round, media.clock_start, media.clock_end) == (2, 60, None)


def test_a_media_range_has_both_readings_of_the_clock(tmp_path: Path) -> None:
    front_matter = ROUNDS + 'media: {bells: {1: "4:00"}}'
    within, over = read(tmp_path, front_matter, "- 4:10-4:20 a\n- 6:50-7:10 b\n")
    assert (within.clock_start, within.clock_end) == (170, 160)
    assert (over.clock_start, over.clock_end) == (10, None)


def test_a_timecode_counts_from_the_start_of_the_footage(tmp_path: Path) -> None:
    front_matter = 'media: {rate: 30000/1001, drop_frame: true, start: "10:00:00;00"}'
    first, second = read(tmp_path, front_matter, "- 10:10:00;00 a\n- 10:01:00;02-10:01:01;02 b\n")
    # SMPTE ST 12-1: ten minutes of drop-frame labels are 17,982 frames; ;00 and ;01 are skipped at minute 1.
    assert first.start == 17_982 / Fraction(30000, 1001)
    assert (second.start, second.end) == (1800 / Fraction(30000, 1001), 1830 / Fraction(30000, 1001))


def test_notes_on_an_aligned_recording(tmp_path: Path) -> None:
    front_matter = (
        ROUNDS + 'media: {rate: 25, bells: {1: "4:00"}}\n'
        'recordings: {talk: {rate: 50, align: [["0:10", "4:10"], ["0:20", "4:15"]]}}\n'
        "sources: [{file: ../talk.md, timed_on: talk}, {file: ../talk.vtt, timed_on: talk}]"
    )
    note = "- 0:12-00:00:14:00 no\n- 0:05 before\n- 0:12 inside\n- 00:00:18:25 late\n"
    cue = "WEBVTT\n\n00:12.000 --> 00:16.000\nhe waits.\n"
    note = note.split("\n", 1)[1]
    before, inside, late, cue_segment = read(tmp_path, front_matter, "", talk__md=note, talk__vtt=cue)
    assert (before.timed_on, before.start, before.footage_start, before.round) == ("talk", 5, None, None)
    assert (inside.start, inside.end) == (12, Fraction("18.5"))
    assert (inside.footage_start, inside.footage_end) == (251, Fraction("254.25"))
    assert (inside.round, inside.clock_start, inside.period) == (1, 169, "round")
    assert (late.start, late.end, late.footage_end) == (Fraction("18.5"), Fraction("30.5"), None)
    assert (cue_segment.footage_start, cue_segment.footage_end, cue_segment.clock_end) == (251, 253, 167)


def test_a_round_clock_on_another_recording_is_refused(tmp_path: Path) -> None:
    (tmp_path / "bouts").mkdir()
    (tmp_path / "talk.md").write_text("- R1 0:41 a\n")
    front_matter = "---\nrecordings: {talk: {}}\nsources: [{file: ../talk.md, timed_on: talk}]\n---\n"
    (tmp_path / "bouts/b.md").write_text(front_matter)
    reading = read_library(tmp_path)
    assert [(p.file, p.line, p.column) for p in reading.problems] == [("talk.md", 1, 3)]
    assert (reading.segments[0].start, reading.segments[0].text) == (None, "a")


def test_ends_in_one_file_do_not_look_at_another(tmp_path: Path) -> None:
    own, look = read(tmp_path, "sources: [../look.md]", "- 4:41 a\n", look__md="- 4:42 b\n")
    assert (own.end, look.end) == (293, 294)


def test_notes_at_one_time_end_together(tmp_path: Path) -> None:
    segments = read(tmp_path, "bout: b", "- 4:41 a\n- 4:41 b\n- 4:45 c\n")
    assert [segment.end for segment in segments] == [285, 285, 297]
