"""The untidy lines of tests/cases/untidy.md: each is read as a person reads it, or reported; none is swallowed.

`python -m tests.reading.test_untidy [tuned|apart]` prints what is not read right.
"""

from __future__ import annotations

import re
import sys
import tempfile
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from typing import Literal

import pytest

from fightnotes.clock import RoundClock, format_media_time, parse_time
from fightnotes.model import Segment
from fightnotes.reading.library import LibraryReading, read_library

CASES = Path(__file__).parents[1] / "cases" / "untidy.md"
LENGTH, BELL, APART = 180, 240, 240
"""Seconds of a round, of the first bell, and from bell to bell, as the front matter of the cases has them."""
_CASE = re.compile(r"(?P<written>.*?)\s+=> (?P<meant>.*)")
_MOMENT = re.compile(r"(?P<about>about )?(?:media|R(?P<round>\d+)) (?P<start>[\d:.]+)(?:-(?P<end>[\d:.]+))?")
_WORD = re.compile(r"[^\W\d_]{3,}")

Outcome = Literal["right", "reported", "wrong"]


@dataclass(frozen=True)
class Habit:
    title: str
    half: str
    cases: tuple[tuple[str, str], ...]
    """Each line, and how it is read; an empty line reads as nothing."""


def habits() -> tuple[str, list[Habit]]:
    """The front matter, and the habits in the order of the file."""
    text = CASES.read_text(encoding="utf-8")
    front_matter = text.split("```yaml\n")[1].split("```")[0]
    found = []
    for title, body in re.findall(r"^## (.+?)\n\n```\n(.*?)^```$", text, re.DOTALL | re.MULTILINE):
        half, _, name = title.partition(": ")
        lines = [_CASE.fullmatch(line) for line in body.rstrip("\n").split("\n")]
        cases = tuple((line["written"], line["meant"]) if line else ("", "nothing") for line in lines)
        found.append(Habit(name, half, cases))
    return front_matter, found


FRONT_MATTER, HABITS = habits()
BEFORE = FRONT_MATTER.count("\n")


def read(habit: Habit) -> LibraryReading:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder, "bouts", "untidy.md")
        path.parent.mkdir()
        path.write_text(FRONT_MATTER + "\n".join(written for written, _ in habit.cases) + "\n", encoding="utf-8")
        return read_library(Path(folder))


def outcomes(habit: Habit) -> list[tuple[Outcome, str]]:
    """What became of each line, with how it was read."""
    reading = read(habit)
    return [_outcome(reading, number, *case) for number, case in enumerate(habit.cases, BEFORE + 1)]


def _outcome(reading: LibraryReading, number: int, written: str, meant: str) -> tuple[Outcome, str]:
    here = [segment for segment in reading.segments if segment.line == number]
    around = [segment for segment in reading.segments if segment.line <= number <= segment.last_line]
    problems = [problem for problem in reading.problems if problem.line == number]
    shown = _shown(here[0]) if here else ("above" if around else "nothing")
    said = f"{shown}{'; ' if problems else ''}{'; '.join(map(str, problems))}"
    if problems:
        kept = bool(here) and _words_kept(written, here[0])
        return ("right" if meant == "reported" and kept else "reported" if kept else "wrong"), said
    if meant in ("nothing",) or meant.startswith("heading"):
        return ("wrong" if here or around else "right"), said
    if meant == "above":
        return ("right" if not here and around and _words_kept(written, around[-1]) else "wrong"), said
    if meant == "reported" or not here or not _words_kept(written, here[0]):
        return "wrong", said
    return ("right" if _is_meant(here[0], meant) else "wrong"), said


def _words_kept(written: str, segment: Segment) -> bool:
    said = set(_WORD.findall(f"{segment.text} {segment.written_time or ''} {' '.join(segment.tag_names)}".lower()))
    return set(_WORD.findall(written.lower())) - said <= {"with", "approx", "around", "round", "the"}


def _is_meant(segment: Segment, meant: str) -> bool:
    moment = _MOMENT.fullmatch(meant)
    if moment is None:
        number = int(meant.removeprefix("text R")) if meant != "text" else None
        return not segment.timed and segment.round == number
    start, end = (_seconds(moment["round"], written) for written in (moment["start"], moment["end"]))
    ends = segment.end == end if end is not None else not segment.end_given
    return segment.start == start and ends and segment.about == bool(moment["about"])


def _seconds(number: str | None, written: str | None) -> Fraction | None:
    """Seconds of the footage."""
    if written is None:
        return None
    time = parse_time(f"R{number} {written}" if number else written)
    if isinstance(time, RoundClock):
        return BELL + (time.round - 1) * APART + LENGTH - time.seconds
    return time.seconds  # type: ignore[union-attr]


def _shown(segment: Segment) -> str:
    if segment.start is None:
        return f"text R{segment.round}" if segment.round else "text"
    end = f"-{format_media_time(segment.end)}" if segment.end_given and segment.end else ""
    about = "about " if segment.about else ""
    clock = f" = R{segment.round} {format_media_time(segment.clock_start)}" if segment.clock_start is not None else ""
    return f"{about}media {format_media_time(segment.start)}{end}{clock} | {segment.text}"


@pytest.mark.parametrize("habit", HABITS, ids=[habit.title for habit in HABITS])
def test_nothing_is_swallowed(habit: Habit) -> None:
    for (outcome, said), (written, meant) in zip(outcomes(habit), habit.cases, strict=True):
        assert outcome != "wrong", f"{written!r}: {said}, not {meant}"


def test_nearly_all_is_read_right() -> None:
    lines = [
        (outcome, written)
        for habit in HABITS
        for (outcome, _), (written, _) in zip(outcomes(habit), habit.cases, strict=True)
    ]
    right = [outcome == "right" for outcome, written in lines if written]
    assert len(right) >= 200
    assert sum(right) / len(right) >= 0.95


if __name__ == "__main__":
    for half in sys.argv[1:] or ("tuned", "apart"):
        counts = {"right": 0, "reported": 0, "wrong": 0}
        for habit in (habit for habit in HABITS if habit.half == half):
            for (outcome, said), (written, meant) in zip(outcomes(habit), habit.cases, strict=True):
                counts[outcome] += bool(written)
                if outcome != "right":
                    print(f"{outcome:8} {habit.title}: {written!r}\n         {said}, not {meant}")
        print(half, counts)
