"""Captions and timed text: from cues to segments of speech.

A cue is cut where the line was full, not where the thought was. So all cues of a file become one run of words, each
with its time; the words become sentences, and the sentences moments.
"""

from __future__ import annotations

import posixpath
from collections.abc import Sequence, Set
from dataclasses import replace
from fractions import Fraction
from functools import lru_cache
from itertools import pairwise
from typing import Any

from fightnotes.clock import format_media_time
from fightnotes.language.known_words import KnownWords, known_words
from fightnotes.language.labels import LabelFinder, label_finder, labels_of
from fightnotes.language.mended import mended
from fightnotes.language.mishearings import find_mishearings
from fightnotes.language.names import name_index
from fightnotes.language.talk import SpokenWord
from fightnotes.language.talk_moments import TalkSentence, moment_starts, talk_sentences
from fightnotes.model import Bout, Segment, Source, Vocabulary
from fightnotes.reading.captions import READERS, CaptionFile, read_captions
from fightnotes.reading.placed_yaml import Reporter
from fightnotes.reading.spoken_rounds import RoundSaid, rounds_said
from fightnotes.reading.spoken_text import spoken_text
from fightnotes.reading.spoken_words import spoken_words
from fightnotes.reading.timing import SegmentTiming, moment_at


def speech_segments(
    text: str,
    source: Source,
    bout: Bout,
    vocabulary: Vocabulary,
    longest: Fraction,
    reporter: Reporter,
    refused: Set[str] = frozenset(),
) -> list[Segment]:
    """The moments of a caption or timed-text file, whose name tells the format; its faults are reported.

    `longest` is that of a moment without an end, in seconds; one of whose cues the last has no end gets one by it.
    `refused` are forms, folded, that stand for nothing else: see `find_mishearings`.
    """
    suffix = posixpath.splitext(source.file)[1].lower()
    if suffix not in READERS:
        reporter.at(1, 1, f"a transcript named *{suffix}", f"one named *{', *'.join(READERS)}")
        return []
    captions = read_captions(source.file, text)
    for fault in captions.faults:
        reporter.at(fault.line, fault.column, fault.found, fault.expected, fault.kind)
    common: dict[str, Any] = {
        "bout": bout.id,
        "file": source.file,
        "kind": "transcript",
        "timed_on": source.timed_on,
        "analyst": source.analyst or bout.analyst,
    }
    segments = [
        Segment.model_validate({**common, "line": line, "last_line": line, "text": words})
        for line, words in captions.untimed
    ]
    words = _meant(captions, bout, vocabulary, refused)
    moments = _moments(sentences_said(words, bout, vocabulary))
    for moment, said in zip(moments, rounds_said(moments, bout.rounds), strict=True):
        segments.append(_segment(words, moment, said, common, bout, longest))
    return segments


def words_said(file: str, text: str, bout: Bout, vocabulary: Vocabulary) -> list[SpokenWord]:
    """All words of a transcript in order of time, as they are meant. Raises ValueError as `read_captions` does."""
    return _meant(read_captions(file, text), bout, vocabulary)


def sentences_said(words: Sequence[SpokenWord], bout: Bout, vocabulary: Vocabulary) -> list[TalkSentence]:
    return talk_sentences(words, _labels(vocabulary), name_index(bout.fighters, misheard=True))


@lru_cache(maxsize=1)
def _known_labels(vocabulary: Vocabulary) -> KnownWords:
    """Made once for all transcripts of a library, as it takes longer than a short one does."""
    return known_words((), vocabulary)


@lru_cache(maxsize=1)
def _labels(vocabulary: Vocabulary) -> LabelFinder:
    return label_finder(labels_of(vocabulary))


def _meant(
    captions: CaptionFile, bout: Bout, vocabulary: Vocabulary, refused: Set[str] = frozenset()
) -> list[SpokenWord]:
    words = spoken_words(captions.cues)
    known = _known_labels(vocabulary).with_fighters(bout.fighters)
    return mended(words, find_mishearings([word.text for word in words], known, refused))


def _moments(sentences: Sequence[TalkSentence]) -> list[Sequence[TalkSentence]]:
    starts = moment_starts(sentences)
    return [sentences[first:stop] for first, stop in pairwise([*starts, len(sentences)])]


def _segment(
    words: Sequence[SpokenWord],
    moment: Sequence[TalkSentence],
    said: RoundSaid,
    common: dict[str, Any],
    bout: Bout,
    longest: Fraction,
) -> Segment:
    spoken = words[moment[0].first : moment[-1].last + 1]
    start, last = spoken[0].start, spoken[-1]
    end = None if last.end_guessed and start + longest > last.end else last.end
    timing, about = _placed(moment_at(bout, common["timed_on"], start, end), said)
    lines = [word.line for word in spoken]
    return Segment.model_validate(
        {
            **common,
            **vars(timing),
            **vars(spoken_text(words, moment)),
            "about": about,
            "line": min(lines),
            "last_line": max(lines),
            "written_time": format_media_time(start),
            "end_given": not last.end_guessed,
        }
    )


def _placed(timing: SegmentTiming, said: RoundSaid) -> tuple[SegmentTiming, bool]:
    """A moment with the round that its words name, where nothing else places it in one; and whether that is
    approximate.

    A rest before the round that is named is where the speaker leads over to it.
    """
    leads_over = timing.period in ("rest", "before") and said.round == (timing.round or 0) + 1
    if said.round is None or not (timing.period is None or leads_over):
        return timing, False
    placed = replace(timing, round=said.round, clock_start=said.clock, period="round")
    return placed, said.clock is not None
