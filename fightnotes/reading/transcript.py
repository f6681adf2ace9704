"""Captions and timed text: from cues to segments of speech.

A cue is cut where the line was full, not where the thought was. Cues are joined until the voice pauses or
changes, a sentence closes, or the joined span would pass the longest that a segment may be.
"""

from __future__ import annotations

import posixpath
from fractions import Fraction
from typing import Any

from fightnotes.clock import format_media_time
from fightnotes.model import Bout, Segment, Source
from fightnotes.reading.captions import READERS, Cue, read_captions
from fightnotes.reading.placed_yaml import Reporter
from fightnotes.reading.timing import moment_at

PAUSE = Fraction(3, 2)
"""Seconds of silence that end a moment of speech (common practice, no source)."""
_SENTENCE_ENDS = (".", "!", "?", "…", "。")


def speech_segments(text: str, source: Source, bout: Bout, longest: Fraction, reporter: Reporter) -> list[Segment]:
    """The moments of a caption or timed-text file, whose name tells the format; its faults are reported."""
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
    for group in group_cues(captions.cues, longest):
        first, last = group[0], group[-1]
        moment = moment_at(bout, source.timed_on, first.start, last.end)
        segments.append(
            Segment.model_validate(
                {
                    **common,
                    **vars(moment),
                    "line": first.line,
                    "last_line": last.line,
                    "text": " ".join(cue.text for cue in group if cue.text),
                    "written_time": format_media_time(first.start),
                    "end_given": last.end is not None,
                }
            )
        )
    return segments


def group_cues(cues: tuple[Cue, ...], longest: Fraction) -> list[list[Cue]]:
    """Cues with words, joined into moments of at most `longest` seconds."""
    groups: list[list[Cue]] = []
    for cue in cues:
        if not cue.text:
            continue
        if groups and _goes_on(groups[-1], cue, longest):
            groups[-1].append(cue)
        else:
            groups.append([cue])
    return groups


def _goes_on(group: list[Cue], cue: Cue, longest: Fraction) -> bool:
    last = group[-1]
    if last.end is None or cue.end is None or cue.speaker != last.speaker:
        return False
    if last.text.endswith(_SENTENCE_ENDS) or cue.start - last.end >= PAUSE:
        return False
    return cue.end - group[0].start <= longest
