"""Moments as text to paste: an answer in Markdown, and times to put under a recording."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from fractions import Fraction
from math import floor
from urllib.parse import quote

from fightnotes.clock import format_media_time
from fightnotes.model.moment import Moment
from fightnotes.visible import visible_line

_INLINE = re.compile(r"[\\`*_\[\]<&~]")
_BLOCK = re.compile(r"[#>+=-]|(?<=\d)[.)]")
_LIST_NUMBER = re.compile(r"\d*")


def markdown_answer(moments: Iterable[Moment]) -> Iterator[str]:
    """The lines of an answer in CommonMark: the words of each moment as a quotation, and below it where they stand.

    That is the bout's title and date, the round clock, the time on the recording with a link (W3C Media Fragments)
    where a file is named, and the note's file and line with a link to the line (RFC 5147; that lines count
    from 0 there is from memory).
    """
    for moment in moments:
        yield f"> {literal(moment.quoted)}"
        yield ""
        yield ", ".join(citation(moment))
        yield ""


def timestamp_lists(moments: Iterable[Moment]) -> Iterator[str]:
    """The lines of a list for each recording, in its order of time, its title above and an empty line below.

    Moments without media time have no place in it.
    """
    by_recording: dict[tuple[str, str | None], list[tuple[Fraction, Moment]]] = {}
    for moment in moments:
        if (start := moment.segment.start) is not None:
            by_recording.setdefault((moment.bout.id, moment.recording), []).append((start, moment))
    for (_, recording), mine in by_recording.items():
        title = mine[0][1].bout.title
        yield visible_line(f"{title}, {recording}" if recording else title)
        for start, moment in sorted(mine, key=lambda timed: timed[0]):
            yield f"{_second_begun(start)} {visible_line(moment.quoted)}"
        yield ""


def literal(text: str) -> str:
    """A line of CommonMark that reads as the text itself, wherever it stands; what steers a terminal as an escape."""
    shown = " ".join(visible_line(text).split())
    escaped = _INLINE.sub(r"\\\g<0>", shown)
    number = _LIST_NUMBER.match(escaped)
    at = number.end() if number else 0
    return f"{escaped[:at]}\\{escaped[at:]}" if _BLOCK.match(escaped, at) else escaped


def citation(moment: Moment) -> Iterator[str]:
    """Where a moment stands, part by part: bout, date, round clock, time on the recording, file and line."""
    segment, bout = moment.segment, moment.bout
    about = "about " if segment.about else ""
    yield literal(bout.title)
    if bout.date:
        yield bout.date.isoformat()
    if moment.where_in_bout:
        yield about + moment.where_in_bout
    if moment.media_time:
        time = f"{about}{moment.media_time}" + (f" of {literal(moment.recording)}" if moment.recording else "")
        yield f"[{time}]({moment.link})" if moment.link else time
    elif not moment.where_in_bout:
        yield "untimed"
    yield f"[{literal(moment.place)}]({quote(segment.file)}#line={segment.line - 1},{segment.line})"


def _second_begun(start: Fraction) -> str:
    """Never later than the moment begins."""
    return format_media_time(Fraction(floor(start)), 0)
