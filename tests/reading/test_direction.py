"""Round clocks that run the other way than the bout says: told once, whichever files show it."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import pytest

from fightnotes.errors import Problem
from fightnotes.reading.library import read_library

UP = "- R1 0:10 a\n- R1 0:20 b\n- R1 0:30 c\n- R1 0:41 d\n"
DOWN = "- R1 2:10 a\n- R1 2:00 b\n- R1 1:40 c\n- R1 1:20 d\n"


def found(root: Path, files: Mapping[str, str]) -> list[Problem]:
    for name, text in files.items():
        path = root / name
        path.parent.mkdir(exist_ok=True)
        path.write_text(text)
    return [problem for problem in read_library(root).problems if problem.kind == "clock-direction"]


@pytest.mark.parametrize(
    ("clock", "notes", "cure"),
    [
        ("down", UP, "`clock: up`"),
        ("up", DOWN, "`clock: down`"),
        ("up", UP, None),
        ("down", DOWN, None),
        ("down", "- R1 0:10 a\n- R1 0:20 b\n- R1 0:30 c\n", None),
        ("down", "- R1 2:10 a\n- R2 2:20 b\n- R3 2:30 c\n- R4 2:40 d\n", None),
        ("down", UP + "\n- R2 2:00 a\n- R2 1:00 b\n", None),
        ("up", "## Round 1\n- 2:10 left: a\n- 2:00 left: b\n- 1:40 left: c\n- 1:20 left: d\n", None),
    ],
)
def test_what_speaks_for_the_other_way(clock: str, notes: str, cure: str | None, tmp_path: Path) -> None:
    problems = found(tmp_path, {"bouts/b.md": f"---\nrounds: {{count: 4, clock: {clock}}}\n---\n{notes}"})
    assert len(problems) == (cure is not None)
    assert all(str(cure) in problem.expected for problem in problems)


def test_one_finding_for_all_files_of_a_bout(tmp_path: Path) -> None:
    front_matter = "---\nrounds: 4\nsources: [../x/a.md, ../x/b.md]\n---\n"
    problems = found(tmp_path, {"bouts/b.md": front_matter + UP, "x/a.md": UP, "x/b.md": UP})
    assert [problem.file for problem in problems] == ["bouts/b.md"]
    problems = found(tmp_path, {"bouts/b.md": front_matter + DOWN})
    assert [problem.file for problem in problems] == ["x/a.md"]


def test_what_is_left_and_gone_on_a_clock_that_runs_up(tmp_path: Path) -> None:
    notes = (
        "## Round 2\n- 2:10 left: a\n- 1:00-0:50 left in the round b\n- 0:50 into the round c\n- 0:50 on the clock d\n"
    )
    front_matter = "---\nrounds: {count: 4, clock: up}\nmedia: {bells: {1: '4:00'}}\n---\n"
    assert found(tmp_path, {"bouts/b.md": front_matter + notes}) == []
    reading = read_library(tmp_path)
    assert [(s.clock_start, s.clock_end, s.start) for s in reading.segments] == [
        (50, None, 530),
        (120, 130, 600),
        (50, None, 530),
        (50, None, 530),
    ]
    assert reading.problems == ()


def test_what_is_gone_of_a_round_whose_length_is_not_known(tmp_path: Path) -> None:
    (tmp_path / "bouts").mkdir()
    (tmp_path / "bouts/b.md").write_text("## Round 2\n- 2:10 left: a\n- 0:50 into the round c\n")
    reading = read_library(tmp_path)
    assert [(s.round, s.clock_start) for s in reading.segments] == [(2, 130), (2, None)]
    (problem,) = reading.problems
    assert (problem.line, problem.column, problem.found) == (3, 3, "'a time since the bell'")
    assert problem.expected.startswith("`rounds` in the front matter")
