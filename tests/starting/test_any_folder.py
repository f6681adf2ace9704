"""Whatever files are called and hold: what `start` writes is read back without a complaint, and undone to the byte."""

from __future__ import annotations

import tempfile
from pathlib import Path

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from fightnotes.library import open_library
from tests.starting.untidy import tree

WORDS = st.sampled_from(
    ["Corvale", "brandaal", "v", "vs.", "-", "2031-03-08", "8.3.2031", "no", "null", "~", "#1", "3:00", "'", '"', "{",
     "]", "&a", "*", "%", "@", "`", "|", ">", "!", "\\", "é", "日本", "\u2028", "\x85", "\t", "e\u0301", "İ", "ß", ":",
     "=", "?", "II", "talk", "Round 1"]
)  # fmt: skip
NAMES = st.lists(WORDS, min_size=1, max_size=6).map(" ".join)
LINES = st.sampled_from(
    ["# Corvale vs Brandaal", "## Round 2", "- 2:10 jab by:corvale", "R1 0:40-0:30 slip #slip", "prose", "", "\x85",
     "Red: 'no' (southpaw)", "Blue corner: [a, b]: #c", "Date: 8.3.2031", "Rounds: 10 x 3:00", "Rounds: many",
     "Analyst: no", "---", "title: x", "bout: y: z", "date: 2031-03-08", "sources: [../a.vtt, b.vtt]",
     "media: {bells: {1: '0:10'}}", "01:00:02;10 drop", "| 1 | 2:10 | x |"]
)  # fmt: skip
TEXTS = st.tuples(st.lists(LINES, max_size=12), st.sampled_from(["\n", "\r\n", "\r"])).map(
    lambda two: two[1].join(two[0])
)
ENCODINGS = st.sampled_from(["utf-8", "utf-8-sig", "utf-16", "cp1252"])
FOLDERS = st.sampled_from(["", "bouts/", "old/", "transcripts/", "2031-03-08 Corvale v Brandaal/"])
ENDINGS = st.sampled_from([".md", ".txt", ".vtt", ".srt", ".mp4", ".pdf", ".MD"])
FILES = st.lists(st.tuples(FOLDERS, NAMES, ENDINGS, TEXTS, ENCODINGS), min_size=1, max_size=6)


@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(FILES)
def test_it_reads_back_and_undoes(files: list[tuple[str, str, str, str, str]]) -> None:
    with tempfile.TemporaryDirectory() as made:
        root = Path(made).resolve() / "any"
        root.mkdir()
        for folder, name, ending, text, encoding in files:
            (root / folder).mkdir(exist_ok=True)
            (root / folder / f"{name[:60]}{ending}").write_bytes(text.encode(encoding, "replace"))
        before = tree(root)
        complaints_before = complaints(root)
        library = open_library(root)
        beginning = library.plan_beginning(library.survey())
        library.apply(beginning.plan)
        reading = open_library(root).read()
        assert {bout.file for bout in reading.bouts} >= set(beginning.bouts)
        assert complaints(root) <= complaints_before
        assert all(content == tree(root)[name] for name, content in before.items() if not name.startswith("bouts/"))
        assert open_library(root).plan_beginning(open_library(root).survey()).plan.edits == ()
        library.undo()
        assert tree(root) == before


def complaints(root: Path) -> set[str]:
    """What is wrong in front matter, without its place, which moves."""
    reading = open_library(root).read()
    fronts = (each for each in reading.problems if each.file.startswith("bouts/") and each.file.lower().endswith(".md"))
    return {f"{problem.found}, {problem.expected}" for problem in fronts if problem.kind == "unreadable"}
