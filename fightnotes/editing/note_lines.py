"""Moments written as notes, so that what is read back is what was to be written: the same texts at the same times.

Each moment is one line, an item of a list: `- 0:20.063 text`. What the grammar would take for a mark, or CommonMark
(0.31.2) for markup, gets a backslash; a text that would go on with the time before it gets a colon in front.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
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


@dataclass(frozen=True)
class Insertion:
    """Words that go into a text at an offset; they are Markdown already."""

    at: int
    words: str


def escaped(text: str, insertions: Sequence[Insertion] = ()) -> str:
    """Markdown on one line that is read as `text` with the insertions in it; white space is folded."""
    pieces, here = [], 0
    for one in sorted(insertions, key=lambda each: each.at):
        pieces += [_escaped(text[here : one.at]), one.words]
        here = one.at
    return " ".join("".join((*pieces, _escaped(text[here:]))).split())


def _escaped(text: str) -> str:
    return _MARKED.sub(lambda match: f"\\{match[0]}", text)


def note_lines(bout: Bout, moments: Sequence[Segment], texts: Sequence[str], longest: Fraction) -> list[str]:
    """The lines of a note file, without endings: what has no time first, then the moments in order of time, below
    headings of their rounds.

    `texts` are those of the moments as `escaped` gives them; `longest` is what a moment without an end lasts, in
    seconds.
    """
    lines: list[str] = []
    for text in (text for one, text in zip(moments, texts, strict=True) if one.start is None and text):
        lines += [_untimed(text), ""]
    said = [(one, text) for one, text in zip(moments, texts, strict=True) if one.start is not None]
    said.sort(key=lambda each: each[0].start or 0)
    number: int | None = None
    for (one, text), time in zip(said, _times(bout, [one for one, _ in said], longest), strict=True):
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
    plain = f"{time} {text}".rstrip()
    head = timed_head(Line(1, 1, plain), _HABITS, number, Reporter(""))
    start, _, end = time.partition("-")
    alike = (
        head is not None
        and head.time is not None
        and head.time.text == time
        and head.time.span.start == MediaTime(parse_media_time(start))
        and head.time.span.end == (MediaTime(parse_media_time(end)) if end else None)
        and "".join(line.text for line in head.rest) == text
    )
    return plain if alike else f"{time}: {text}"


def _untimed(text: str) -> str:
    """A paragraph that opens with neither time nor round, nor as another block: its first letter is told by its number
    where it would."""
    reporter = Reporter("")
    head = head_of(Line(1, 1, text), _HABITS, None, "", reporter)
    plain = text.removeprefix("\\")
    opens = head.opens or head.round is not None or bool(reporter.problems)
    free = plain[0].isalpha() if not opens else False
    return text if free or not plain[0].isprintable() else f"&#{ord(plain[0])};{plain[1:]}"
