"""Moments written as notes are read back: the same texts, at the same times, in the same rounds."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fightnotes.clock import RoundFormat, format_media_time, resolve_bells
from fightnotes.editing.note_lines import END_MATTERS, OUTSIDE_ROUNDS, note_lines
from fightnotes.model import FOOTAGE, Bout, Fighter, Segment, Settings, Source, Vocabulary
from fightnotes.reading.note_blocks import read_blocks
from fightnotes.reading.note_marks import NoteContext
from fightnotes.reading.note_segments import segments_of
from fightnotes.reading.placed_yaml import Reporter
from fightnotes.reading.timing import close_ends

LONGEST = Settings().default_length
BOUT = Bout(
    id="one",
    file="bouts/one.md",
    title="one",
    red=Fighter(id="corvale", name="Ines Corvale"),
    blue=Fighter(id="brandaal", name="Rika Brandaal"),
)
WORDS = st.sampled_from(
    ["jab", "left", "left,", "she", "#jab", "#1", "\\#jab", "by:corvale", "on:the", "Target:head,",
     "outcome:landed", "stance:corvale=southpaw", "analyst:mk", "#jab(by:corvale)", "`code`", "`", "*", "**bold**",
     "_", "a_b_c", "[x](y)", "](", "[?", "[", "]", "<b>", "</b>", "<!--", "-->", "<https://a.b>", "&amp;",
     "&#35;jab", "&", "<", ">", "\\", "\\\\", "1:30", "R4", "0:05", "Round", "2", "3", "-", "--", "—", "to", "1:40",
     "|", "||", "---", "===", "#", "##", "am", "pm", "s", "secs", "?", "??", "or", "so", "ish", "left.", "on",
     "the", "clock", "of", "round", "into", "remaining", "(", ")", "...", "..", ":", ";", ",", ".", "~", "~~", "•",
     "é", "日本", "\u00a0", "\u2028", "\x0b", "\x85", "\u200f", "1.", "2)", "+", "!", "![", "12s", "5'11\"", "0.58",
     "with", "at", "c.", "a)", "http://x.y/#frag", "#a", "audit:", "skip", "x:y", "\ufffd", "{", "}", "::", "\"",
     "'", "“", "”", "$", "%", "^", "=", "first", "second", "third", "third round"]
)  # fmt: skip
TEXTS = st.lists(WORDS, min_size=1, max_size=7).map(" ".join)
ANYTHING = st.text(st.characters(exclude_categories=("Cs",), exclude_characters="\0\r\n"), min_size=1, max_size=30)
SAID = st.one_of(TEXTS, ANYTHING).filter(lambda text: bool(text.split()))
MOMENTS = st.lists(
    st.tuples(
        SAID,
        st.one_of(st.none(), st.integers(0, 4_000_000)),
        st.one_of(st.none(), st.integers(1, 40_000)),
        st.one_of(st.none(), st.integers(1, 12)),
    ),
    min_size=1,
    max_size=8,
)


def moment(text: str, start: int | None, length: int | None, number: int | None, timed_on: str) -> Segment:
    """`start` and `length` are milliseconds."""
    begin = None if start is None else Fraction(start, 1000)
    end = None if begin is None or length is None else begin + Fraction(length, 1000)
    return Segment(
        bout="one",
        file="talk.vtt",
        line=1,
        last_line=1,
        kind="transcript",
        text=text,
        timed_on=timed_on,
        written_time=None if begin is None else format_media_time(begin),
        start=begin,
        end=end,
        end_given=end is not None,
        round=None if begin is None else number,
    )


def read_back(bout: Bout, moments: list[Segment], timed_on: str) -> list[Segment]:
    lines = note_lines(bout, moments, [folded(one.text) for one in moments], LONGEST)
    assert not any("\n" in line or "\r" in line for line in lines)
    reporter = Reporter("notes/talk.md")
    context = NoteContext(bout, Vocabulary(), Settings(), reporter)
    source = Source(file="notes/talk.md", kind="notes", timed_on=timed_on)
    read, _ = segments_of(read_blocks("\n".join(lines) + "\n", reporter).blocks, source, context)
    assert reporter.problems == []
    return close_ends(bout, read, LONGEST)


def folded(text: str) -> str:
    return " ".join(text.split())


@settings(max_examples=300)
@given(MOMENTS, st.sampled_from([FOOTAGE, "talk"]), st.sampled_from(["clock", "footage", None]))
def test_what_is_written_is_read_back(
    given_moments: list[tuple[str, int | None, int | None, int | None]], timed_on: str, times: str | None
) -> None:
    rounds = RoundFormat(12, Fraction(180), Fraction(60), "down", times) if times else None  # type: ignore[arg-type]
    bout = BOUT.model_copy(update={"rounds": rounds})
    moments = [moment(*each, timed_on) for each in given_moments]
    moments.sort(key=lambda one: Fraction(-1) if one.start is None else one.start)
    read = read_back(bout, moments, timed_on)
    assert [(one.text, one.start, one.round) for one in read] == [
        (folded(one.text), one.start, one.round) for one in moments
    ]
    assert not any(one.tags or one.fields.by or one.fields.target or one.stances for one in read)
    for one, back in zip(moments, read, strict=True):
        if one.end is not None and one.start is not None and back.end is not None:
            assert abs(back.end - one.end) < END_MATTERS
        assert (one.end is None) <= (not back.end_given)


def test_an_end_is_written_where_a_reader_would_put_another() -> None:
    moments = [
        moment("up to the next", 0, 5_000, None, "talk"),
        moment("a pause behind", 5_500, 3_000, None, "talk"),
        moment("longer than usual", 30_000, 20_000, None, "talk"),
        moment("no end known", 55_000, None, None, "talk"),
    ]
    assert note_lines(BOUT, moments, [one.text for one in moments], LONGEST) == [
        "- 0:00 up to the next",
        "- 0:05.5-0:08.5 a pause behind",
        "- 0:30-0:50 longer than usual",
        "- 0:55 no end known",
    ]


def test_rounds_are_headings_and_what_is_of_none_stands_apart() -> None:
    moments = [
        moment("good evening", 0, None, None, "talk"),
        moment("the first", 20_000, None, 1, "talk"),
        moment("still", 40_000, None, 1, "talk"),
        moment("the third", 60_000, None, 3, "talk"),
        moment("in short", 80_000, None, None, "talk"),
    ]
    lines = note_lines(BOUT, moments, [one.text for one in moments], LONGEST)
    assert lines == [
        "- 0:00 good evening",
        "",
        "## Round 1",
        "- 0:20 the first",
        "- 0:40 still",
        "",
        "## Round 3",
        "- 1:00 the third",
        "",
        f"## {OUTSIDE_ROUNDS}",
        "- 1:20 in short",
    ]


def test_times_of_the_footage_have_hours_so_that_no_heading_makes_them_a_clock() -> None:
    moments = [moment("one", 61_000, None, 1, FOOTAGE), moment("two", 4_000_500, None, 2, FOOTAGE)]
    rounds = RoundFormat(3, Fraction(180), Fraction(60), "down", "clock")
    bout = BOUT.model_copy(update={"rounds": rounds, "bells": resolve_bells({}, rounds)})
    assert [line for line in note_lines(bout, moments, ["one", "two"], LONGEST) if line.startswith("- ")] == [
        "- 0:01:01 one",
        "- 1:06:40.5 two",
    ]
    assert [(one.start, one.clock_start) for one in read_back(bout, moments, FOOTAGE)] == [
        (Fraction(61), None),
        (Fraction(8001, 2), None),
    ]


@pytest.mark.parametrize(
    ("text", "line"),
    [
        ("left hook", "- 0:20 left hook"),
        ("am I right", "- 0:20: am I right"),
        ("to 1:30 she waits", "- 0:20: to 1:30 she waits"),
        ("left", "- 0:20: left"),
        ("- and on", "- 0:20: - and on"),
        ("#jab by:corvale", r"- 0:20 \#jab by\:corvale"),
        ("2 * 3 [music] R&D", r"- 0:20 2 \* 3 [music] R\&D"),
    ],
)
def test_what_would_be_read_as_something_else_is_set_apart(text: str, line: str) -> None:
    said = [moment(text, 20_000, None, 2, "talk")]
    assert note_lines(BOUT, said, [text], LONGEST)[-1] == line
    assert [one.text for one in read_back(BOUT, said, "talk")] == [text]
