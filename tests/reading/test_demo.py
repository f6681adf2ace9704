"""The demo library reads without a complaint and is what its README promises."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import pytest

from fightnotes.reading.library import LibraryReading, read_library

DEMO = Path(__file__).parents[2] / "corpus_demo"


@pytest.fixture(scope="module")
def reading() -> LibraryReading:
    return read_library(DEMO)


def test_no_complaints(reading: LibraryReading) -> None:
    assert [str(problem) for problem in reading.problems] == []


def test_its_size(reading: LibraryReading) -> None:
    assert len(reading.bouts) >= 12
    assert len(reading.vocabulary.concepts) >= 40
    timed = [segment for segment in reading.segments if segment.kind == "note" and segment.timed]
    assert len(timed) >= 400
    by_analyst = Counter(segment.analyst for segment in timed)
    assert len(by_analyst) == 2
    assert min(by_analyst.values()) >= 100
    kinds = Counter(Path(s.file).suffix for bout in reading.bouts for s in bout.sources if s.kind == "transcript")
    assert kinds == {".vtt": 2, ".srt": 2}


def test_rounds_agree_with_their_headings(reading: LibraryReading) -> None:
    wrong = [
        (segment.file, segment.line)
        for segment in reading.segments
        if segment.heading_round is not None and segment.period in ("round", "rest")
        if segment.round != segment.heading_round
    ]
    assert wrong == []


def test_times_lie_in_the_bout(reading: LibraryReading) -> None:
    bouts = {bout.id: bout for bout in reading.bouts}
    rounds = 0
    for segment in reading.segments:
        bout = bouts[segment.bout]
        if segment.clock_start is not None:
            assert bout.rounds is not None
            assert 0 <= segment.clock_start <= bout.rounds.length
            rounds += 1
        if segment.kind == "note" and segment.timed and bout.bells:
            assert segment.start is not None, (segment.file, segment.line)
    assert rounds >= 300


def test_every_tag_is_known_and_in_its_place(reading: LibraryReading) -> None:
    texts = {file: (DEMO / file).read_text().split("\n") for file in {segment.file for segment in reading.segments}}
    tags = [(segment.file, tag) for segment in reading.segments for tag in segment.tags]
    assert len(tags) >= 200
    for file, tag in tags:
        assert texts[file][tag.line - 1].startswith(f"#{tag.written}", tag.column - 1)
