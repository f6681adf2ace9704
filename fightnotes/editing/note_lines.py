"""Moments written as notes, so that what is read back is what was to be written: the same texts at the same times.

Each moment is one line, an item of a list: `- 0:20.063 text`. What the grammar would take for a mark, or CommonMark
(0.31.2) for markup, gets a backslash; a text that would go on with the time before it gets a colon in front.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from fractions import Fraction

from fightnotes.clock import Habits, MediaTime, format_media_time, parse_media_time
from fightnotes.model import FOOTAGE, Bout, Segment
from fightnotes.reading.grammar import FIELD_KEYS
from fightnotes.reading.note_blocks import Line
from fightnotes.reading.note_heads import head_of, timed_head
from fightnotes.reading.placed_yaml import Reporter
from fightnotes.reading.timing import close_ends

OUTSIDE_ROUNDS = "Outside the rounds"
"""The heading of moments of no round that stand below those of one."""
END_MATTERS = Fraction(3, 2)
"""Seconds between an end and that which a reader puts in its place, from which on it is written; by hand, no source."""
_MARKED = re.compile(
    r"[\\`*_]"
    r"|<(?=[A-Za-z/!?])"  # HTML, or an address in angle brackets
    r"|(?<=<)[!?]"
    r"|&(?=[#\w])"  # a character by its name
    r"|(?<=\])\("  # the target of a link
    r"|#(?=[^\W\d_])"
    rf"|(?:{'|'.join(rf'(?<={key})' for key in FIELD_KEYS)}):(?=\S)",
    re.IGNORECASE,
)
_HABITS = Habits()


def note_lines(bout: Bout, moments: Sequence[Segment], texts: Sequence[str], longest: Fraction) -> list[str]:
    """The lines of a note file, without endings: paragraphs of what has no time, then the moments, below headings of
    their rounds.

    `moments` without a time stand first, the others in order of time. `texts` are what is written of them, each with
    words, on one line and with white space folded; `longest` is what a moment without an end lasts, in seconds.
    """
    untimed = [text for one, text in zip(moments, texts, strict=True) if one.start is None]
    timed = moments[len(untimed) :]
    lines = [line for text in untimed for line in (_untimed(text), "")]
    number: int | None = None
    for one, text, time in zip(timed, texts[len(untimed) :], _times(bout, timed, longest), strict=True):
        if one.round != number:
            number = one.round
            lines += [*([""] if lines and lines[-1] else []), f"## {_title(number)}"]
        lines.append(f"- {_timed(time, text, number)}")
    return lines


def _title(number: int | None) -> str:
    return OUTSIDE_ROUNDS if number is None else f"Round {number}"


def _times(bout: Bout, moments: Sequence[Segment], longest: Fraction) -> list[str]:
    """How their times are written. An end is given where a reader would put another in its place."""
    closed = close_ends(bout, [one.model_copy(update={"end": None}) for one in moments], longest)
    times = []
    for one, read in zip(moments, closed, strict=True):
        assert one.start is not None
        assert read.end is not None  # what has a start got an end
        time = _written(one.start, one.timed_on)
        end = one.end if one.end_given and one.end is not None else read.end
        written = _written(end, one.timed_on)
        matters = abs(end - read.end) >= END_MATTERS and parse_media_time(written) > parse_media_time(time)
        times.append(f"{time}-{written}" if matters else time)
    return times


def _written(seconds: Fraction, timed_on: str) -> str:
    """On the footage with its hours: minutes and seconds alone may be of a round's clock, below its heading."""
    shown = format_media_time(seconds)
    minutes, _, rest = shown.partition(":")
    return f"0:{minutes:>02}:{rest}" if timed_on == FOOTAGE and ":" not in rest else shown


def _timed(time: str, text: str, number: int | None) -> str:
    """The time and the text behind it, as a reader parts them again."""
    words = _escaped(text)
    head = timed_head(Line(1, 1, f"{time} {words}"), _HABITS, number, Reporter(""))
    start, _, end = time.partition("-")
    alike = (
        head is not None
        and head.time is not None
        and head.time.text == time
        and head.time.span.start == MediaTime(parse_media_time(start))
        and head.time.span.end == (MediaTime(parse_media_time(end)) if end else None)
        and "".join(line.text for line in head.rest) == words
    )
    return f"{time} {words}" if alike else f"{time}: {words}"


def _untimed(text: str) -> str:
    """A paragraph that opens with neither time nor round, nor as another block: where it would, its first sign is told
    by its number."""
    words, reporter = _escaped(text), Reporter("")
    head = head_of(Line(1, 1, words), _HABITS, None, "", reporter)
    if text[0].isalpha() and not head.opens and head.round is None and not reporter.problems:
        return words
    at = next((index for index, sign in enumerate(text) if sign.isprintable() and sign != " "), None)
    return words if at is None else f"{_escaped(text[:at])}&#{ord(text[at])};{_escaped(text[at + 1 :])}"


def _escaped(text: str) -> str:
    """Markdown that is read as `text`."""
    return _MARKED.sub(lambda match: f"\\{match[0]}", text)
