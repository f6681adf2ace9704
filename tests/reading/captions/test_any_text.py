"""Whatever the text: no reader raises, places lie in the file, and well-formed files come back whole."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fightnotes.reading.captions import READERS, CaptionFile
from fightnotes.reading.captions.cue import caption_lines
from fightnotes.reading.captions.subrip import read_subrip
from fightnotes.reading.captions.timed_text import read_timed_text
from fightnotes.reading.captions.webvtt import read_webvtt
from fightnotes.reading.excerpt import LONGEST

# Bits that the grammars know, so that arbitrary text reaches more than the first line of a reader.
BITS = st.sampled_from(
    [
        *[
            "WEBVTT",
            "NOTE",
            "STYLE",
            "\n",
            "\n\n",
            "\r\n",
            "\r",
            "1",
            "-->",
            " --> ",
            "->",
            "00:01.000",
            "00:00:01,000",
        ],
        *[
            "<v Mara>",
            "</v>",
            "<",
            ">",
            "<ruby>",
            "</ruby>",
            "<rt>",
            "&amp;",
            "&#",
            "&#x",
            "{\\an8}",
            "{",
            "99:99",
            ":",
        ],
        *[
            "[1:05]",
            "[",
            "]",
            "[1:75]",
            "[1:05-",
            "to",
            "–",
            "MK: ",
            "a",
            " ",
            "\t",
            "\f",
            "\0",
            "\ufeff",
            "٣",
            "²",
            "\u2028",
        ],
    ]
)
ANY_TEXT = st.text() | st.lists(BITS | st.text(max_size=3), max_size=40).map("".join)


@pytest.mark.parametrize("extension", READERS)
@given(text=ANY_TEXT)
def test_any_text_is_read(extension: str, text: str) -> None:
    read = READERS[extension](text)
    lines = caption_lines(text)
    for cue in read.cues:
        assert 1 <= cue.line <= len(lines)
        assert cue.start >= 0
        assert cue.end is None or cue.end > cue.start
    for fault in read.faults:
        assert 1 <= fault.line <= len(lines)
        assert 1 <= fault.column <= len(lines[fault.line - 1]) + 1
        assert fault.found == "nothing" or 3 <= len(fault.found) <= LONGEST + 2
        assert fault.expected
    places = [(fault.line, fault.column) for fault in read.faults]
    assert places == sorted(places)
    for line, words in read.untimed:
        assert 1 <= line <= len(lines)
        assert words.strip(" ")


@pytest.mark.parametrize("extension", READERS)
@given(text=ANY_TEXT)
def test_line_ends_make_no_difference(extension: str, text: str) -> None:
    plain = text.replace("\r\n", "\n").replace("\r", "\n")
    assert READERS[extension](plain.replace("\n", "\r\n")) == READERS[extension](plain)


WORDS = st.lists(st.text(alphabet="abcdefg", min_size=1, max_size=6), min_size=1, max_size=5).map(" ".join)
MILLISECONDS = st.integers(min_value=0, max_value=400_000_000)
SPANS = st.lists(st.tuples(MILLISECONDS, st.integers(1, 60_000), WORDS), min_size=1, max_size=6)


def stamp(milliseconds: int, mark: str) -> str:
    seconds, rest = divmod(milliseconds, 1000)
    return f"{seconds // 3600:02}:{seconds // 60 % 60:02}:{seconds % 60:02}{mark}{rest:03}"


def as_read(read: CaptionFile) -> list[tuple[Fraction, Fraction | None, str]]:
    assert (read.faults, read.untimed) == ((), ())
    return [(cue.start, cue.end, cue.text) for cue in read.cues]


@given(spans=SPANS)
def test_well_formed_files_come_back_whole(spans: list[tuple[int, int, str]]) -> None:
    # The number makes each text its own, so that none is taken for a rolled line.
    texts = [f"{words} {at}" for at, (_, _, words) in enumerate(spans)]
    times = [(start, start + length) for start, length, _ in spans]
    wanted = [
        (Fraction(start, 1000), Fraction(end, 1000), text) for (start, end), text in zip(times, texts, strict=True)
    ]
    vtt, srt, txt = "WEBVTT\n\n", "", ""
    for number, ((start, end), text) in enumerate(zip(times, texts, strict=True), 1):
        vtt += f"{stamp(start, '.')} --> {stamp(end, '.')}\n{text}\n\n"
        srt += f"{number}\n{stamp(start, ',')} --> {stamp(end, ',')}\n{text}\n\n"
        txt += f"[{stamp(start, '.')} to {stamp(end, '.')}] {text}\n"
    assert as_read(read_webvtt(vtt)) == wanted
    assert as_read(read_subrip(srt)) == wanted
    assert as_read(read_timed_text(txt)) == wanted
