"""The demo and the second library with their front matter taken away: what `start` finds again, by their file names.

The demo suggested when rounds are of 2:00; the second library was only looked at afterwards.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from fightnotes.library import open_library
from fightnotes.model import Bout
from fightnotes.reading.library import LibraryReading
from fightnotes.starting.names import surname
from tests.conftest import DEMO

SECOND = Path(__file__).parents[1] / "judged" / "second"
FRONT = re.compile(rb"\A---\r?\n.*?\r?\n---\r?\n", re.DOTALL)


def stripped(library: Path, root: Path) -> tuple[LibraryReading, LibraryReading, list[str]]:
    """A library as it is, and started again of its bare notes with every guess taken; the keys that were asked."""
    before = open_library(library).read()
    for bout in before.bouts:
        name = f"{bout.date} {bout.title}"
        (root / f"{name}.md").write_bytes(FRONT.sub(b"", (library / bout.file).read_bytes()))
        for source in bout.sources:
            path = library / source.file
            (root / f"{name} {path.stem.rpartition('-')[2]}{path.suffix}").write_bytes(path.read_bytes())
    started = open_library(root)
    survey = started.survey()
    questions = started.start_questions(survey, {})
    answers = started.start_answers(survey, [(question.key, question.guess) for question in questions])
    beginning = started.plan_beginning(survey, answers)
    assert (beginning.left, beginning.questions) == ((), ())
    started.apply(beginning.plan)
    return before, started.read(), [question.key for question in questions]


def pairs(before: LibraryReading, after: LibraryReading) -> Iterator[tuple[Bout, Bout]]:
    by_date = {bout.date: bout for bout in after.bouts}
    assert len(by_date) == len(before.bouts)
    return ((bout, by_date[bout.date]) for bout in before.bouts)


@pytest.mark.parametrize(
    ("library", "bouts", "counts", "lengths", "asked"),
    [
        (DEMO, 14, 13, 10, ["title", "analyst", "rate:25", "rate:30000/1001", "rate:50", "red"]),
        (SECOND, 8, 6, 7, ["title", "analyst", "red"]),
    ],
    ids=["demo", "second"],
)
def test_what_is_found_again(
    tmp_path: Path, library: Path, bouts: int, counts: int, lengths: int, asked: list[str]
) -> None:
    """Days, surnames, corners and clocks of all; how many rounds, and how long, as far as the notes go."""
    before, after, keys = stripped(library, tmp_path)
    assert (len(before.bouts), len(after.bouts), keys) == (bouts, bouts, asked)
    assert after.problems == before.problems == ()
    assert len(after.segments) == len(before.segments)
    same_count = same_length = 0
    for old, new in pairs(before, after):
        assert [surname(each.name) for each in new.fighters] == [surname(each.name) for each in old.fighters]
        assert len(new.sources) == len(old.sources) + 1
        assert old.rounds is not None
        assert new.rounds is not None
        assert (new.rounds.clock, new.rounds.times) == (old.rounds.clock, None)
        assert (new.rounds.count or 0) <= (old.rounds.count or 0)
        assert new.rounds.length >= min(old.rounds.length, 180)
        same_count += new.rounds.count == old.rounds.count
        same_length += new.rounds.length == old.rounds.length
    assert (same_count, same_length) == (counts, lengths)
