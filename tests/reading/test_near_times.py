"""Lines that begin like a time or a round: the cost of judging them, a table that is edited, and what is shown."""

from __future__ import annotations

import tempfile
import time
from pathlib import Path

import pytest

from fightnotes.library import open_library
from fightnotes.model import Moment
from fightnotes.reading.library import read_library
from tests.conftest import MakeLibrary

BEGINNINGS = {
    "points": "0.58 ", "colons": "1:", "bullets": "• ", "tildes": "~(", "ats": "at ", "pipes": "|", "cells": "| 2:10 ",
    "rounds": "R2 ", "dashes": "- ", "primes": "1'10", "wide": "２：", "left": "2:10 left ", "boxes": "[ ] ",
    "frames": "=-",
}  # fmt: skip
LINES = ("0.58 a", "4;10 a", "Rd2 he", "Round 2", "2:10 left, she", "| R1 | 2:10 | x |", "| 2 | 2:9 |", "-1:10 a")


def _seconds(text: str) -> float:
    """Processor time to read a note, the best of two."""
    taken = []
    for _ in range(2):
        with tempfile.TemporaryDirectory() as folder:
            path = Path(folder, "bouts", "b.md")
            path.parent.mkdir()
            path.write_text(f"---\nrounds: 10\n---\n{text}\n\n4:55 last\n", encoding="utf-8")
            begun = time.process_time()
            reading = read_library(Path(folder))
            taken.append(time.process_time() - begun)
            assert reading.segments[-1].text == "last"
    return min(taken)


@pytest.mark.parametrize("piece", BEGINNINGS.values(), ids=BEGINNINGS)
def test_a_huge_line_takes_time_in_proportion(piece: str) -> None:
    # Four times the length: steps that grow with its square would take sixteen times as long.
    assert _seconds(piece * (60_000 // len(piece))) < 9 * _seconds(piece * (15_000 // len(piece)))


@pytest.mark.parametrize("line", LINES)
def test_many_lines_take_time_in_proportion(line: str) -> None:
    assert _seconds(f"{line}\n" * 2_000) < 9 * _seconds(f"{line}\n" * 500)


def test_a_tag_is_put_into_a_row(make_library: MakeLibrary) -> None:
    note = "| Round | Clock | What |\n|--|--|--|\n| 1 | 2:10 | Left hand |\n| 1 | 2:00 | |\n"
    root = make_library({"vocabulary.yaml": "concepts: [{id: jab}]\n", "bouts/b.md": f"---\nrounds: 4\n---\n{note}"})
    library = open_library(root)
    library.build()
    first, second = library.store.every_segment().values()
    library.apply(library.plan_marks([(first, "jab"), (second, "jab")]))
    assert [segment.tag_names for segment in read_library(root).segments] == [("jab",), ("jab",)]
    assert "| 1 | 2:10 | Left hand #jab |\n" in (root / "bouts/b.md").read_text()


def test_what_is_approximate_is_shown_so(make_library: MakeLibrary) -> None:
    root = make_library({"bouts/b.md": "---\nrounds: 4\nmedia: {bells: {1: '4:00'}}\n---\n- R1 ~2:10 a\n- R1 2:00 b\n"})
    reading = read_library(root)
    about, exact = (Moment(segment=segment, bout=reading.bouts[0]) for segment in reading.segments)
    assert about.where == ("b", "about R1 2:10", "about 4:50-5:00")
    assert exact.where[1] == "R1 2:00"
    assert [moment.as_json()["about"] for moment in (about, exact)] == [True, False]
