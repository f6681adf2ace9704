"""Prose that nobody wrote as notes holds no times: the Lee background corpus of news (Lee, Pincombe and Welsh 2005).

gensim carries it among its test data. Each document is wrapped as an editor would, so that lines begin anywhere.
"""

from __future__ import annotations

import textwrap
from pathlib import Path

import gensim
import pytest

from fightnotes.reading.library import read_library

CORPUS = Path(gensim.__file__).parent / "test" / "test_data" / "lee_background.cor"


@pytest.mark.parametrize("columns", [40, 100])
def test_no_line_of_news_is_taken_for_a_time_or_reported(columns: int, tmp_path: Path) -> None:
    documents = CORPUS.read_text(encoding="utf-8", errors="replace").split("\n")
    wrapped = ["\n".join(textwrap.wrap(document, columns)) for document in documents]
    note = tmp_path / "bouts" / "news.md"
    note.parent.mkdir()
    note.write_text("\n\n".join(wrapped), encoding="utf-8")
    reading = read_library(tmp_path)
    assert note.read_text(encoding="utf-8").count("\n") > 4_000
    assert [segment.written_time for segment in reading.segments if segment.timed or segment.round] == []
    assert reading.problems == ()
