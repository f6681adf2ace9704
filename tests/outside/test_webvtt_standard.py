"""The WebVTT reader against its standard.

Sources:
- W3C, "WebVTT: The Web Video Text Tracks Format", section "Parsing": the parser algorithm, "collect a WebVTT
  block", "collect a WebVTT timestamp", the cue text tokenizer and parsing rules.
- web-platform-tests, folders webvtt/parsing/file-parsing and webvtt/parsing/cue-text-parsing: its cases named
  arrows, ids, newlines, nulls, header-timings, signature-*, stylesheets-newlines, timings-60, timings-too-short,
  timings-too-long, whitespace-chars, entities and tree-building. The samples here are our own, for the rules
  that these cases check; each names its case.
"""

from __future__ import annotations

from fractions import Fraction

import pytest

from fightnotes.reading.captions import CaptionFile
from fightnotes.reading.captions.webvtt import read_webvtt


def ours(read: CaptionFile) -> list[tuple[Fraction, Fraction | None, str]]:
    return [(cue.start, cue.end, cue.text) for cue in read.cues]


def spoken(*cues: tuple[int, int, str]) -> list[tuple[Fraction, Fraction | None, str]]:
    return [(Fraction(start), Fraction(end), text) for start, end, text in cues]


# --- The standard: blocks ---


def test_a_header_without_a_newline_is_a_whole_file() -> None:
    # signature-no-newline, signature-space-no-newline, signature-tab-no-newline, signature-bom
    for text in ("WEBVTT", "WEBVTT ", "WEBVTT\t", "\ufeffWEBVTT", "WEBVTT the fourth round"):
        assert read_webvtt(text) == CaptionFile((), ())


def test_a_signature_is_refused() -> None:
    # signature-invalid and the parser's steps on the first six characters; "from memory" for the list of samples
    for text in ("", "WEBVT", "webvtt", "WEBVTTx", " WEBVTT", "\nWEBVTT", "\ufeff\ufeffWEBVTT", "WEBVTT\fx", "WEBVTT-"):
        read = read_webvtt(text)
        assert (read.faults[0].line, read.faults[0].column) == (1, 1), text


def test_a_timing_line_ends_the_header_and_is_no_part_of_the_first_line() -> None:
    # header-timings, signature-timings
    assert ours(read_webvtt("WEBVTT\n00:01.000 --> 00:02.000\na\n")) == spoken((1, 2, "a"))
    assert ours(read_webvtt("WEBVTT\nKind: captions\n00:01.000 --> 00:02.000\na\n")) == spoken((1, 2, "a"))
    read = read_webvtt("WEBVTT 00:01.000 --> 00:02.000\na\n\n00:03.000 --> 00:04.000\nb\n")
    assert ours(read) == spoken((3, 4, "b"))
    assert read.faults == ()


def test_an_identifier_is_the_whole_line_before_the_times() -> None:
    # ids
    for ident in ("opening", " space before", "space behind ", "-- >", "->", " ", "NOTE", "STYLE", "7"):
        (cue,) = read_webvtt(f"WEBVTT\n\n{ident}\n00:01.000 --> 00:02.000\na\n").cues
        assert cue.ident == ident


def test_a_line_with_an_arrow_is_never_an_identifier_nor_text() -> None:
    # arrows: each line with an arrow is tried as a timing line, and the good one behind it starts a cue
    for line in ("-->", "round-->", "-->round", "-->-->", "00:01.000 -x -->", "00:01.000 -- -->"):
        read = read_webvtt(f"WEBVTT\n\n{line}\n00:01.000 --> 00:02.000\na\n\n00:03.000 --> 00:04.000\nb\n")
        assert ours(read) == spoken((1, 2, "a"), (3, 4, "b")), line
        assert read.faults
        assert read.faults[0].line == 3


def test_an_arrow_ends_the_text_of_a_cue() -> None:
    read = read_webvtt("WEBVTT\n\n00:01.000 --> 00:02.000\na\nname\n00:03.000 --> 00:04.000\nb\n")
    assert ours(read) == spoken((1, 2, "a name"), (3, 4, "b"))


def test_only_cr_lf_and_crlf_end_a_line() -> None:
    # newlines: LF CR is two ends, so an empty line stands between
    read = read_webvtt("WEBVTT\r\r00:01.000 --> 00:02.000\r\na\n\r00:03.000 --> 00:04.000\rb\n\rc")
    assert ours(read) == spoken((1, 2, "a"), (3, 4, "b"))
    assert read.untimed == ((9, "c"),)


def test_nul_becomes_the_replacement_character_and_breaks_a_time() -> None:
    # nulls
    read = read_webvtt("WEBVTT\n\0\n\n\0id\n00:01.000 --> 00:02.000\0align:end\n\0a\0\n\n00:0\0.000 --> 00:04.000\nb\n")
    assert [(cue.ident, cue.text) for cue in read.cues] == [("\ufffdid", "\ufffda\ufffd")]
    assert [fault.line for fault in read.faults] == [8]


def test_white_space_around_times_is_space_tab_and_form_feed_only() -> None:
    # whitespace-chars
    for space in ("   ", "\t\t", "\f\f", ""):
        line = f"{space}00:01.000{space}-->{space}00:02.000{space}"
        read = read_webvtt(f"WEBVTT\n\n{line}\na\n")
        assert (ours(read), read.faults) == (spoken((1, 2, "a")), ())
    for space in ("\v", "\u00a0"):
        read = read_webvtt(f"WEBVTT\n\n00:01.000{space}-->{space}00:02.000\na\n")
        assert (read.cues, read.untimed, read.faults[0].line) == ((), ((4, "a"),), 3)


def test_a_style_block_ends_at_an_empty_line() -> None:
    # stylesheets-newlines: the rule behind the empty line is no style, nor is a block behind a cue
    read = read_webvtt(
        "WEBVTT\n\nSTYLE\n::cue(#x) { width: 1px }\nNOTE x\n\n.y { width: 2px }\n\n00:01.000 --> 00:02.000\na\n"
    )
    assert ours(read) == spoken((1, 2, "a"))
    assert [fault.line for fault in read.faults] == [7]


# --- The standard: times ---

GOOD_TIMES = ["00:00.000", "59:59.999", "00:00:00.000", "0:00:00.000", "000:00:01.000", "100:59:59.999"]

# timings-too-short, timings-too-long, timings-60: one field short, long, missing, doubled or past 59 at a time
BAD_TIMES = [
    "0:01.000",
    "000:01.000",
    "00:1.000",
    "00:001.000",
    "00:01.00",
    "00:01.0000",
    "00:01.",
    "00:01",
    "00:01,000",
    "00:01:000",
    "00::01.000",
    "00:01..000",
    "60:00.000",
    "00:60.000",
    "00:60:00.000",
    "00:00:60.000",
    "0000.000",
    "00:00000",
    "00.",
    ".",
    "0",
    "00:00:1.000",
    "00:1:00.000",
    "00:00:001.000",
    "00:001:00.000",
    "00::00:01.000",
    "00:00::01.000",
    "00:00:01.00",
    "00:00:01.0000",
    "00:00:01,000",
    "1:00:00:01.000",
    "+0:01.000",
    "-00:01.000",
    "٠٠:٠٠.٠٠٠",
]


@pytest.mark.parametrize("stamp", GOOD_TIMES)
def test_a_time_of_the_standard_is_no_fault(stamp: str) -> None:
    read = read_webvtt(f"WEBVTT\n\n{stamp} --> 999:00:00.000\na\n")
    assert len(read.cues) == 1
    assert read.faults == ()


@pytest.mark.parametrize("stamp", BAD_TIMES)
def test_a_time_that_the_standard_refuses_is_a_fault_with_its_place(stamp: str) -> None:
    start = read_webvtt(f"WEBVTT\n\n  {stamp} --> 999:00:00.000\na\n\n00:01.000 --> 00:02.000\nb\n")
    assert [(fault.line, fault.column, fault.found) for fault in start.faults] == [(3, 3, f"'{stamp}'")]
    assert start.cues[-1].text == "b"
    end = read_webvtt(f"WEBVTT\n\n00:00:00.000 --> {stamp}\na\n\n00:01.000 --> 00:02.000\nb\n")
    assert (end.faults[0].line, end.faults[0].column) == (3, 18)
    # The standard drops this cue; its start is good, so ours keeps it.
    assert [cue.text for cue in end.cues] == ["a", "b"]


# --- The standard: text ---


@pytest.mark.parametrize(
    ("payload", "text"),
    [
        # entities. That case keeps &copy; and &#32; as written, as an older edition did; the Recommendation's
        # tokenizer consumes any HTML character reference.
        ("&", "&"),
        ("&amp;", "&"),
        ("&&", "&&"),
        ("&1;", "&1;"),
        ("&;", "&;"),
        ("&lt;b&gt;", "<b>"),
        ("a&lrm;b&rlm;c", "a\u200eb\u200fc"),
        ("a&nbsp;b", "a\u00a0b"),
        ("&copy;", "\u00a9"),
        ("&quot;", '"'),
        ("&#x2192;&#8594;", "\u2192\u2192"),
        # tree-building: what is left when the tags are off
        ("<ruby>one<rt>two</rt></ruby>three", "onetwothree"),
        ("<ruby>one<rt><b>two</rt></ruby></b>three", "onetwothree"),
        # the tokenizer: unknown tags, empty tags, classes, annotations and times leave no text
        ("<font color=red>a</font>", "a"),
        ("a<>b</>c", "abc"),
        ("<c.one.two note>a</c>", "a"),
        ("a<00:00:01.500>b<99>c", "abc"),
        ("<lang en-GB>a</lang>", "a"),
        ("a > b", "a > b"),
    ],
)
def test_text_of_a_payload(payload: str, text: str) -> None:
    read = read_webvtt(f"WEBVTT\n\n00:01.000 --> 00:02.000\n{payload}\n")
    assert ours(read) == spoken((1, 2, text))
    assert read.faults == ()
