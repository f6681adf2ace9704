"""Caption readers beside other readers: webvtt-py 0.6, pysubs2 1.8 and srt 3.5 from the package registry.

SubRip has no standard: there the three libraries stand for common practice. For WebVTT, each difference says
what the standard's parser does (W3C, "WebVTT: The Web Video Text Tracks Format", section "Parsing").
"""

from __future__ import annotations

import io
from fractions import Fraction

import pysubs2
import pytest
import srt  # type: ignore[import-untyped]
import webvtt
from hypothesis import given
from hypothesis import strategies as st

from fightnotes.reading.captions import CaptionFile
from fightnotes.reading.captions.subrip import read_subrip
from fightnotes.reading.captions.webvtt import read_webvtt

Spoken = list[tuple[Fraction, Fraction | None, str]]


def ours(read: CaptionFile) -> Spoken:
    return [(cue.start, cue.end, cue.text) for cue in read.cues]


def one_line(text: str) -> str:
    return " ".join(text.split())


def by_webvtt_py(text: str, form: str) -> Spoken:
    captions = webvtt.from_string(text) if form == "vtt" else webvtt.from_buffer(io.StringIO(text), format="srt")
    return [
        (seconds_of(caption.start), seconds_of(caption.end), one_line(caption.text)) for caption in captions.captions
    ]


def seconds_of(stamp: str) -> Fraction:
    hours, minutes, seconds = stamp.split(":")
    return int(hours) * 3600 + int(minutes) * 60 + Fraction(seconds)


def by_pysubs2(text: str, form: str) -> Spoken:
    events = pysubs2.SSAFile.from_string(text, format_=form)
    return [(Fraction(event.start, 1000), Fraction(event.end, 1000), one_line(event.plaintext)) for event in events]


def by_srt(text: str, ignore_errors: bool = False) -> Spoken:
    read = srt.parse(text, ignore_errors=ignore_errors)
    return [
        (Fraction(str(one.start.total_seconds())), Fraction(str(one.end.total_seconds())), one_line(one.content))
        for one in read
    ]


def spoken(*cues: tuple[int, int | None, str]) -> Spoken:
    return [(Fraction(start), None if end is None else Fraction(end), text) for start, end, text in cues]


# --- WebVTT beside the libraries ---

VALID_VTT = """WEBVTT - round four

STYLE
::cue { color: white }

opening
00:01.000 --> 00:02.500 align:start position:10%
<v Mara Kell>Corvale <i>creeps</i> the lead foot
forward.</v>

00:00:03.000 --> 00:00:04.250
<c.term>Open-guard bait</c>, no reply.

12:00:05.000 --> 12:00:06.125

12:00:07.000 --> 12:00:08.000
last
"""


def test_a_valid_file_reads_as_by_the_libraries() -> None:
    read = read_webvtt(VALID_VTT)
    assert read.faults == ()
    assert ours(read) == by_webvtt_py(VALID_VTT, "vtt") == by_pysubs2(VALID_VTT, "vtt")
    captions = webvtt.from_string(VALID_VTT)
    assert [cue.speaker for cue in read.cues] == [caption.voice for caption in captions.captions]
    assert [cue.ident for cue in read.cues] == [caption.identifier for caption in captions.captions]


WORDS = st.lists(st.text(alphabet="abcdefg", min_size=1, max_size=6), min_size=1, max_size=4).map(" ".join)
CUES = st.lists(
    st.tuples(st.integers(0, 350_000_000), st.integers(1, 60_000), st.lists(WORDS, min_size=1, max_size=3)),
    min_size=1,
    max_size=6,
)


def written(cues: list[tuple[int, int, list[str]]], mark: str, numbered: bool) -> str:
    """A file of cues; the number at the end of each makes its last line its own, so that none rolls."""
    blocks = []
    for number, (start, length, lines) in enumerate(cues, 1):
        timing = f"{hms(start, mark)} --> {hms(start + length, mark)}"
        head = f"{number}\n{timing}" if numbered else timing
        blocks.append("\n".join([head, *lines, f"end {number}"]))
    return "\n\n".join(blocks) + "\n"


def hms(milliseconds: int, mark: str) -> str:
    seconds, rest = divmod(milliseconds, 1000)
    return f"{seconds // 3600:02}:{seconds // 60 % 60:02}:{seconds % 60:02}{mark}{rest:03}"


@given(cues=CUES, numbered=st.booleans())
def test_valid_webvtt_reads_as_by_the_libraries(cues: list[tuple[int, int, list[str]]], numbered: bool) -> None:
    text = "WEBVTT\n\n" + written(cues, ".", numbered)
    read = read_webvtt(text)
    assert read.faults == ()
    assert ours(read) == by_webvtt_py(text, "vtt") == by_pysubs2(text, "vtt")


@given(cues=CUES)
def test_valid_subrip_reads_as_by_the_libraries(cues: list[tuple[int, int, list[str]]]) -> None:
    text = written(cues, ",", numbered=True)
    read = read_subrip(text)
    assert read.faults == ()
    assert ours(read) == by_srt(text) == by_pysubs2(text, "srt") == by_webvtt_py(text, "srt")


FIELD = st.text(alphabet="0123456789", min_size=1, max_size=3)
STAMP_LIKE = st.builds(
    lambda fields, mark, rest: ":".join(fields) + mark + rest,
    st.lists(FIELD | st.sampled_from(["00", "07", "59", "60"]), min_size=1, max_size=4),
    st.sampled_from([".", ".", ".", ",", ":", ""]),
    st.sampled_from(["000", "250", "999", "5", "25", "1234", ""]),
)


@given(stamp=STAMP_LIKE)
def test_faults_in_times_agree_with_webvtt_py_when_strict(stamp: str) -> None:
    text = f"WEBVTT\n\n00:00.000 --> {stamp}\na\n"
    faults = [fault for fault in read_webvtt(text).faults if "later than" not in fault.expected]
    try:
        webvtt.from_string(text, strict=True)
    except webvtt.errors.MalformedCaptionError:
        refused = True
    else:
        refused = False
    # webvtt-py asks for two digits of hours, as the standard asks of who writes a file; the standard's parser,
    # and ours, takes one (timings-too-short).
    one_digit_hour = stamp.count(":") == 2 and stamp.index(":") == 1
    assert bool(faults) == refused or (one_digit_hour and refused)


def test_an_end_before_the_start_is_a_fault_and_the_cue_stays() -> None:
    # timings-negative: the standard's parser keeps the cue, and so do webvtt-py and pysubs2, with the end as
    # written. Ours keeps it without an end, for the standard asks of who writes a file that it is later.
    text = "WEBVTT\n\n00:01.000 --> 00:00.999\na\n\n00:02.000 --> 00:02.000\nb\n"
    read = read_webvtt(text)
    assert ours(read) == spoken((1, None, "a"), (2, None, "b"))
    assert [(fault.line, fault.column) for fault in read.faults] == [(3, 15), (6, 15)]
    assert [(start, said) for start, _, said in by_webvtt_py(text, "vtt")] == spoken_starts(read)
    assert [(start, said) for start, _, said in by_pysubs2(text, "vtt")] == spoken_starts(read)


def spoken_starts(read: CaptionFile) -> list[tuple[Fraction, str]]:
    return [(cue.start, cue.text) for cue in read.cues]


def test_a_sign_that_opens_no_tag_stays() -> None:
    # The standard's tokenizer takes all from "<" to the end for a tag, and the words are gone. webvtt-py and
    # pysubs2 keep them; so do we, with a fault.
    text = "WEBVTT\n\n00:01.000 --> 00:02.000\nfive < six\n"
    assert ours(read_webvtt(text)) == by_webvtt_py(text, "vtt") == by_pysubs2(text, "vtt")
    assert [(fault.line, fault.column) for fault in read_webvtt(text).faults] == [(4, 6)]


def test_commas_in_webvtt_are_used_and_reported() -> None:
    # The standard drops such a cue, and so do webvtt-py and pysubs2, in silence.
    text = "WEBVTT\n\n00:00:01,000 --> 00:00:02,000\na\n\n00:03.000 --> 00:04.000\nb\n"
    assert by_webvtt_py(text, "vtt") == by_pysubs2(text, "vtt") == spoken((3, 4, "b"))
    read = read_webvtt(text)
    assert ours(read) == spoken((1, 2, "a"), (3, 4, "b"))
    assert [fault.column for fault in read.faults] == [1, 18]


def test_a_file_without_its_header_is_read_and_reported() -> None:
    # The standard reads nothing, webvtt-py refuses the file, pysubs2 reads it without a word.
    text = "00:01.000 --> 00:02.000\na\n"
    with pytest.raises(webvtt.errors.MalformedFileError):
        webvtt.from_string(text)
    read = read_webvtt(text)
    assert ours(read) == by_pysubs2(text, "vtt")
    assert len(read.faults) == 1


def test_a_torn_off_block_is_no_part_of_a_cue() -> None:
    # The standard and webvtt-py leave the block out; pysubs2 adds it to the cue before. Ours keeps it, untimed.
    text = "WEBVTT\n\n00:01.000 --> 00:02.000\na\n\ntorn\noff\n\n00:03.000 --> 00:04.000\nb\n"
    read = read_webvtt(text)
    assert ours(read) == by_webvtt_py(text, "vtt")
    assert read.untimed == ((6, "torn off"),)
    assert [said for _, _, said in by_pysubs2(text, "vtt")] == ["a torn off", "b"]


# --- SubRip beside the libraries ---


def test_an_empty_line_inside_the_text() -> None:
    text = "1\n00:00:01,000 --> 00:00:02,000\na\n\nb\n\n2\n00:00:03,000 --> 00:00:04,000\nc\n"
    assert ours(read_subrip(text)) == by_srt(text) == by_pysubs2(text, "srt") == by_webvtt_py(text, "srt")


def test_no_empty_line_between_cues() -> None:
    text = "1\n00:00:01,000 --> 00:00:02,000\na\n2\n00:00:03,000 --> 00:00:04,000\nc\n"
    assert ours(read_subrip(text)) == by_srt(text) == by_pysubs2(text, "srt") == by_webvtt_py(text, "srt")


def test_no_numbers() -> None:
    # webvtt-py refuses the file.
    text = "00:00:01,000 --> 00:00:02,000\na\n\n00:00:03,000 --> 00:00:04,000\nb\n"
    assert ours(read_subrip(text)) == by_srt(text) == by_pysubs2(text, "srt")


def test_a_point_for_the_comma() -> None:
    text = "1\n00:00:01.000 --> 00:00:02.500\na\n"
    assert ours(read_subrip(text)) == by_srt(text) == by_pysubs2(text, "srt") == by_webvtt_py(text, "srt")


def test_an_empty_line_behind_every_line() -> None:
    # webvtt-py refuses the file.
    text = "1\n\n00:00:01,000 --> 00:00:02,000\n\na\n\n2\n\n00:00:03,000 --> 00:00:04,000\n\nb\n"
    assert ours(read_subrip(text)) == by_srt(text) == by_pysubs2(text, "srt")


def test_text_that_looks_like_a_number_or_an_arrow() -> None:
    text = "1\n00:00:01,000 --> 00:00:02,000\n8\n\n2\n00:00:03,000 --> 00:00:04,000\njab --> cross\n"
    assert ours(read_subrip(text)) == by_srt(text) == by_pysubs2(text, "srt") == by_webvtt_py(text, "srt")


def test_tags_and_position_codes() -> None:
    # srt leaves all markup in, webvtt-py leaves the codes in braces.
    text = '1\n00:00:01,000 --> 00:00:02,000\n{\\an8}<i>a</i> <font color="#fff">b</font>\n'
    assert ours(read_subrip(text)) == by_pysubs2(text, "srt") == spoken((1, 2, "a b"))


def test_a_timing_line_that_cannot_be_read() -> None:
    # srt stops, or leaves the cue out when told to go on; webvtt-py leaves it out; pysubs2 puts number, timing
    # line and words into the cue before. Ours leaves the cue out, keeps its words untimed, and says where.
    text = (
        "1\n00:00:01,000 --> 00:00:02,000\na\n\n2\n00:00:0x,000 --> 00:00:04,000\nb\n\n"
        "3\n00:00:05,000 --> 00:00:06,000\nc\n"
    )
    with pytest.raises(srt.SRTParseError):
        by_srt(text)
    read = read_subrip(text)
    assert ours(read) == by_webvtt_py(text, "srt") == by_srt(text, ignore_errors=True)
    assert by_pysubs2(text, "srt")[0][2] == "a 2 00:00:0x,000 --> 00:00:04,000 b"
    assert read.untimed == ((7, "b"),)
    assert [(fault.line, fault.column) for fault in read.faults] == [(6, 1)]


def test_a_short_arrow() -> None:
    # srt and webvtt-py do not read it; pysubs2 does.
    text = "1\n00:00:01,000 -> 00:00:02,000\na\n\n2\n00:00:03,000 --> 00:00:04,000\nb\n"
    with pytest.raises(srt.SRTParseError):
        by_srt(text)
    read = read_subrip(text)
    assert ours(read) == by_pysubs2(text, "srt")
    assert [(fault.line, fault.column, fault.found) for fault in read.faults] == [(2, 14, "'->'")]


def test_an_end_before_the_start_in_subrip() -> None:
    # All three keep the cue and the end as written. Ours keeps the cue, without an end, and says so.
    text = "1\n00:00:03,000 --> 00:00:02,000\na\n"
    assert by_srt(text) == by_pysubs2(text, "srt") == by_webvtt_py(text, "srt") == spoken((3, 2, "a"))
    read = read_subrip(text)
    assert ours(read) == spoken((3, None, "a"))
    assert [(fault.line, fault.column) for fault in read.faults] == [(2, 18)]
