"""WebVTT beyond the golden cases: signs that a text case cannot show."""

from __future__ import annotations

from fractions import Fraction

import pytest

from fightnotes.reading.captions import read_captions
from fightnotes.reading.captions.webvtt import read_webvtt

CUE = "WEBVTT\n\n00:01.000 --> 00:02.000\n"


def text_of(payload: str) -> str:
    (cue,) = read_webvtt(CUE + payload).cues
    return cue.text


def test_times_are_exact() -> None:
    (cue,) = read_webvtt("WEBVTT\n\n123:59:59.999 --> 124:00:00.001\nlate\n").cues
    assert (cue.start, cue.end) == (Fraction(446399999, 1000), Fraction(446400001, 1000))


@pytest.mark.parametrize("newline", ["\n", "\r", "\r\n"])
def test_lines_are_counted_whatever_ends_them(newline: str) -> None:
    text = "\ufeffWEBVTT\n\n1\n00:01.000 --> 00:02.000\nfirst\nmore\n\n00:0x.000 --> 00:04.000\nsecond\n"
    read = read_webvtt(text.replace("\n", newline))
    assert [(cue.line, cue.ident, cue.text) for cue in read.cues] == [(5, "1", "first more")]
    assert [(fault.line, fault.column) for fault in read.faults] == [(8, 1)]
    assert read.untimed == ((9, "second"),)


def test_other_line_separators_stay_in_the_text() -> None:
    read = read_webvtt(CUE + "a\u2028b\x0bc\n\n00:0x.000 --> 00:04.000\n")
    assert read.cues[0].text == "a\u2028b\x0bc"
    assert read.faults[0].line == 6


def test_a_tag_may_run_over_a_line() -> None:
    (cue,) = read_webvtt(CUE + "<v Mara\nKell>on the second line\n").cues
    assert (cue.line, cue.speaker, cue.text) == (5, "Mara Kell", "on the second line")


def test_an_end_tag_closes_the_innermost_element_only() -> None:
    cues = read_webvtt(CUE + "<v Mara>a<b>b</v>c</b></v>d\n").cues
    assert [(cue.speaker, cue.text) for cue in cues] == [("Mara", "abc"), (None, "d")]


def test_the_end_of_ruby_closes_its_gloss_too() -> None:
    cues = read_webvtt(CUE + "<v Mara><ruby>a<rt>b</ruby>c</v>d\n").cues
    assert [(cue.speaker, cue.text) for cue in cues] == [("Mara", "abc"), (None, "d")]


def test_each_turn_has_the_line_of_its_first_word() -> None:
    cues = read_webvtt(CUE + "a\nb\n<v Jon>c\nd\n").cues
    assert [(cue.line, cue.speaker, cue.text) for cue in cues] == [(4, None, "a b"), (6, "Jon", "c d")]


def test_a_voice_inside_a_voice_gives_the_word_back() -> None:
    cues = read_webvtt(CUE + "<v Mara>a <v Jon>b</v> c\n").cues
    assert [(cue.speaker, cue.text) for cue in cues] == [("Mara", "a"), ("Jon", "b"), ("Mara", "c")]


def test_a_voice_without_a_name_is_no_speaker() -> None:
    (cue,) = read_webvtt(CUE + "<v>a</v>\n").cues
    assert cue.speaker is None


def test_references_are_read_after_the_tags() -> None:
    assert text_of("&lt;i&gt;a&lt;/i&gt;") == "<i>a</i>"
    assert text_of("<v R&amp;D>a") == "a"
    assert read_webvtt(CUE + "<v R&amp;D>a").cues[0].speaker == "R&D"


@pytest.mark.parametrize(
    ("written", "read"),
    [
        ("&#" + "9" * 6000 + ";", "\ufffd"),
        ("&#" + "0" * 6000 + "65;", "A"),
        ("&#1114112;", "\ufffd"),
        ("&#x" + "f" * 6000 + ";", "\ufffd"),
    ],
    ids=["long", "zeros", "past Unicode", "hexadecimal"],
)
def test_number_references_of_any_length(written: str, read: str) -> None:
    assert text_of(f"a{written}b") == f"a{read}b"


def test_hours_of_any_length() -> None:
    read = read_webvtt("WEBVTT\n\n" + "9" * 6000 + ":00:01.000 --> 00:02.000\nlost\n")
    assert (read.cues, read.untimed) == ((), ((4, "lost"),))
    assert len(read.faults[0].found) == 62


def test_roll_up_rows_are_taken_once() -> None:
    rows = ["one", "two", "three", "four", "five"]
    text = "WEBVTT\n"
    for at in range(3):
        text += f"\n00:0{at}.000 --> 00:0{at + 1}.000\n" + "\n".join(rows[at : at + 3]) + "\n"
    assert [(cue.line, cue.text) for cue in read_webvtt(text).cues] == [
        (4, "one two three"),
        (11, "four"),
        (16, "five"),
    ]


def test_overlapping_cues_with_other_words_are_all_kept() -> None:
    text = CUE + "one\n\n00:01.500 --> 00:01.800\ntwo\n\n00:01.500 --> 00:03.000\none\n"
    assert [cue.text for cue in read_webvtt(text).cues] == ["one", "two", "one"]


def test_a_fault_shows_what_was_found_in_short() -> None:
    read = read_webvtt("x" * 100 + "\n\n00:01.000 --> 00:02.000\na\n")
    assert read.faults[0].found == f"'{'x' * 59}…'"


def test_the_reader_is_chosen_by_the_name() -> None:
    assert read_captions("Talk.VTT", CUE + "a\n") == read_webvtt(CUE + "a\n")
    assert read_captions("talk.srt", "1\n00:00:01,000 --> 00:00:02,000\na\n").cues[0].ident == "1"
    assert read_captions("transcripts/talk.txt", "[0:01] a\n").cues[0].text == "a"
    with pytest.raises(ValueError, match=r"talk\.doc: expected a caption file named \.vtt, \.srt, \.txt"):
        read_captions("talk.doc", "")
