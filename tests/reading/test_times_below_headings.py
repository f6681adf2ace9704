"""`times: clock` in `rounds`: a bare time below the heading of a round is that round's clock."""

from __future__ import annotations

from pathlib import Path

import pytest

from fightnotes.reading.library import read_library

NOTES = """## Round 2
- 2:10 a jab
- 2:05-2:01 two more
- 0:05:40 of the footage, as it has hours
- 5:40 of the footage, as no round is so long
- 1:30-5:40 the same
- R3 0:20 says its round

## Afterwards
- 2:00 of the footage, as no round stands above
"""


def places(tmp_path: Path, rounds: str) -> list[tuple[int | None, object, object]]:
    """Round, clock and seconds of each note."""
    (tmp_path / "bouts").mkdir()
    (tmp_path / "bouts/a.md").write_text(f"---\n{rounds}\n---\n{NOTES}")
    reading = read_library(tmp_path)
    assert all(problem.kind == "impossible-time" for problem in reading.problems)
    return [(each.round, each.clock_start, each.start) for each in reading.segments]


def test_with_the_key(tmp_path: Path) -> None:
    assert places(tmp_path, "rounds: {count: 4, times: clock}") == [
        (2, 130, None), (2, 125, None), (2, None, 340), (2, None, 340), (2, None, 90), (3, 20, None), (None, None, 120),
    ]  # fmt: skip


@pytest.mark.parametrize("rounds", ["rounds: {count: 4}", "rounds: {count: 4, times: footage}"])
def test_without_it(tmp_path: Path, rounds: str) -> None:
    assert places(tmp_path, rounds)[:2] == [(2, None, 130), (2, None, 125)]


def test_the_end_of_a_range_and_the_bell(tmp_path: Path) -> None:
    """With a bell the clock has its place on the footage: the bell at 8:10, and 50 s gone at 2:10 of 3:00."""
    found = places(tmp_path, "rounds: {count: 4, times: clock}\nmedia: {file: a.mp4, bells: {2: '8:10'}}")
    assert found[:2] == [(2, 130, 540), (2, 125, 545)]
    assert read_library(tmp_path).segments[1].end == 549


def test_for_a_whole_library_and_a_wrong_value(tmp_path: Path) -> None:
    (tmp_path / "library.yaml").write_text("rounds: {times: clock}\n")
    assert places(tmp_path, "title: A")[0] == (2, 130, None)
    (tmp_path / "library.yaml").write_text("rounds: {times: bell}\n")
    problem = read_library(tmp_path).problems[0]
    assert (problem.line, problem.column, problem.expected) == (1, 17, "footage or clock")
