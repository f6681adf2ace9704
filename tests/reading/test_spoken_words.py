"""The words of a talk and the segments made of them, for any cues."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fightnotes.model import Segment, Vocabulary
from fightnotes.reading.captions import Cue, read_captions
from fightnotes.reading.placed_yaml import Reporter
from fightnotes.reading.spoken_words import spoken_words
from fightnotes.reading.transcript import speech_segments
from tests.reading.test_talk_cases import BOUT, LONGEST, Source, read

WORDS = """
    and so she he it's the left hand lands. throws! core vale brand all's now, second round K. okay um a — 右 don't
    minute left in fourth … south poor 4:10 R4
"""
SAID = st.lists(st.sampled_from(WORDS.split()), max_size=12).map(" ".join)
TENTHS = st.integers(0, 300).map(lambda tenths: Fraction(tenths, 10))


@st.composite
def cues(draw: st.DrawFn) -> list[Cue]:
    """In any order, some without an end, some with stamps that may lie anywhere."""
    found = []
    for line in range(1, draw(st.integers(0, 8)) + 1):
        start, text = draw(TENTHS), draw(SAID)
        end = draw(st.none() | TENTHS.map(lambda length, start=start: start + length + Fraction(1, 100)))
        stamps = draw(st.lists(st.tuples(st.integers(0, 12), TENTHS), max_size=4))
        found.append(Cue(start, end, text, line, draw(st.sampled_from([None, "Mara"])), None, tuple(stamps)))
    return found


@given(cues())
def test_every_word_lies_in_its_cue_and_time_never_runs_backward(cues: list[Cue]) -> None:
    words = spoken_words(cues)
    assert sorted(word.text for word in words) == sorted(word for cue in cues for word in cue.text.split())
    by_line = {cue.line: cue for cue in cues}
    for word in words:
        cue = by_line[word.line]
        assert cue.start <= word.start <= word.end
        assert cue.end is None or word.end <= cue.end
        assert word.end_guessed == (cue.end is None)
    for before, behind in pairwise(words):
        assert before.end <= behind.start


def test_a_word_has_the_share_of_its_letters() -> None:
    (cue,) = read_captions("a.vtt", "WEBVTT\n\n00:10.000 --> 00:12.000\na left hook\n").cues
    times = [(word.text, float(word.start), float(word.end)) for word in spoken_words([cue])]
    assert times == [
        ("a", 10, pytest.approx(10 + 2 / 9)),
        ("left", pytest.approx(10 + 2 / 9), pytest.approx(10 + 10 / 9)),
        ("hook", pytest.approx(10 + 10 / 9), 12),
    ]


def test_a_stamp_inside_a_word_is_that_of_a_syllable() -> None:
    text = "WEBVTT\n\n00:01.000 --> 00:04.000\nupper<00:01.500>cut <00:03.000>lands\n"
    assert read_captions("a.vtt", text).cues[0].stamps == ((1, Fraction(3)),)


def _subrip(cues: list[Cue]) -> str:
    def stamp(seconds: Fraction) -> str:
        return f"00:{int(seconds // 60):02}:{int(seconds % 60):02},{int(seconds * 1000 % 1000):03}"

    blocks = [
        f"{number}\n{stamp(cue.start)} --> {stamp(cue.end)}\n{cue.text}\n"
        for number, cue in enumerate(cues, 1)
        if cue.end is not None
    ]
    return "\n".join(blocks)


@given(cues())
def test_segments_hold_every_word_and_say_where_their_sentences_are(cues: list[Cue]) -> None:
    text = _subrip(cues)
    captions = read_captions("talk.srt", text)
    segments = read("talk.srt", text)
    said = [word for segment in segments for word in _heard(segment).split()]
    expected = [word.text for word in spoken_words(captions.cues)] + [
        word for _, words in captions.untimed for word in words.split()
    ]
    assert sorted(map(_bare, said)) == sorted(map(_bare, expected))
    for segment in segments:
        if segment.timed:
            assert (segment.sentences[0].begin, segment.sentences[-1].stop) == (0, len(segment.text))
            assert all(before.stop + 1 == behind.begin for before, behind in pairwise(segment.sentences))
            assert all(segment.start <= one.start <= segment.end for one in segment.sentences)
            assert all(segment.line <= one.line <= segment.last_line for one in segment.sentences)


def _heard(segment: Segment) -> str:
    text = segment.text
    for repair in reversed(segment.repairs):
        text = text[: repair.begin] + repair.heard + text[repair.stop :]
    return text


def _bare(word: str) -> str:
    return word.strip(".,—").casefold()


def test_a_very_long_line() -> None:
    line = "and so she throws the left hand over the top of the arm " * 2_000
    text = f"WEBVTT\n\n00:00.000 --> 10:00:00.000\n{line}\n"
    source = Source(file="talk.vtt", timed_on="talk")
    segments = speech_segments(text, source, BOUT, Vocabulary(), LONGEST, Reporter("talk.vtt"))
    assert sum(len(segment.text.split()) for segment in segments) == len(line.split())
    assert {segment.line for segment in segments} == {4}
