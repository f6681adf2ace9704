"""What holds for any note at all: reading never raises, and every place is where it says."""

from __future__ import annotations

import string
import tempfile
from pathlib import Path

from hypothesis import example, given
from hypothesis import strategies as st

from fightnotes.reading.library import LibraryReading, read_library
from fightnotes.reading.text_file import split_lines

FRONT_MATTER = (
    "---\nbout: b\nrounds: {count: 2}\nred: {name: A Corvale, stance: southpaw}\n"
    'blue: {name: B Brandaal}\nmedia: {rate: 25, bells: {1: "1:00"}}\n---\n'
)
PIECES = st.sampled_from(
    [
        *"#*_`[]()<>\\-–:;.,!&\t\"'", "  ", "    ", "\n", "\n", "\n\n",
        "- ", "> ", "1. ", "## ", "---\n", "```\n", "<!--", "-->",
        "0:41", "R1 0:41", "R2 9:99", "-0:36", "00:00:41:12", " to ", "Round 2", "word",
        "~", "@", "• ", "| ", "|--|\n", "Rd2 ", "2nd ", "ROUND 2\n", "Time", "0.58", "1'10\"", "２：１０", " left",
        "ish", " → ", "-",
        "https://example.org/#a", "](#a)",
        "#jab", "#обманка", "#cafe\u0301", "by:corvale", "by:nobody", "(by:red outcome:landed)", "target:head",
        "stance:corvale=switch", "analyst:dv",
        "\0", "\u2028", "\x0b", "\x0c", "\x85", "\N{NO-BREAK SPACE}", "\N{BYTE ORDER MARK}",
    ]
)  # fmt: skip
NOTES = st.one_of(st.lists(PIECES, max_size=30).map("".join), st.text(max_size=60))


def read(text: str, ending: str = "\n") -> LibraryReading:
    with tempfile.TemporaryDirectory() as folder:
        root = Path(folder)
        (root / "bouts").mkdir()
        (root / "bouts/b.md").write_bytes(text.replace("\n", ending).encode("utf-8", "replace"))
        return read_library(root)


@given(NOTES, st.booleans())
@example("\u2028\n*", True)
@example("#", True)
def test_every_place_is_where_it_says(note: str, front_matter: bool) -> None:
    text = (FRONT_MATTER if front_matter else "") + note
    reading = read(text)
    lines = split_lines(text.encode("utf-8", "replace").decode().removeprefix("\ufeff"))
    for segment in reading.segments:
        assert 1 <= segment.line <= segment.last_line <= len(lines)
        for tag in segment.tags:
            assert segment.line <= tag.line <= segment.last_line
            assert lines[tag.line - 1].startswith(f"#{tag.written}", tag.column - 1)
        if segment.start is not None:
            assert segment.end is not None
            assert segment.start < segment.end
        if segment.written_time:
            assert segment.written_time in lines[segment.line - 1]
    for problem in reading.problems:
        assert 1 <= problem.line <= len(lines)
        assert 1 <= problem.column <= len(lines[problem.line - 1]) + 1


@given(st.text(max_size=80))
def test_any_front_matter_is_read(text: str) -> None:
    assert len(read(f"---\n{text}\n---\nword\n").bouts) == 1


@given(st.binary(max_size=80))
def test_any_bytes_are_read(raw: bytes) -> None:
    with tempfile.TemporaryDirectory() as folder:
        root = Path(folder)
        (root / "bouts").mkdir()
        for name in ("bouts/b.md", "library.yaml", "vocabulary.yaml"):
            (root / name).write_bytes(raw)
        assert len(read_library(root).bouts) <= 1


@given(NOTES.filter(lambda note: "\r" not in note))
def test_the_same_with_every_line_ending(note: str) -> None:
    text = FRONT_MATTER + note
    with_lf = read(text)
    for ending in ("\r\n", "\r"):
        other = read(text, ending)
        assert other.segments == with_lf.segments
        assert other.problems == with_lf.problems


WORDS = st.text(string.ascii_letters + "äßжñ澪", min_size=1, max_size=8).filter(
    lambda word: word.lower() not in ("am", "pm")
)
"""Behind a time of day, am and pm make it plain text."""
PLAIN = st.lists(st.lists(WORDS, min_size=1, max_size=6).map(" ".join), min_size=1, max_size=5)


@given(PLAIN, st.sampled_from(["", "- ", "> ", "- 4:41 ", "1. R1 0:41 ", "   "]), st.sampled_from(["\n", "\n\n"]))
def test_plain_words_are_kept(lines: list[str], opening: str, between: str) -> None:
    reading = read(FRONT_MATTER + between.join(opening + line for line in lines) + "\n")
    kept = " ".join(segment.text for segment in reading.segments).split()
    assert kept == " ".join(lines).split()
    assert reading.problems == ()
