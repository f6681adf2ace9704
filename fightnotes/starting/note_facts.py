"""What a note file says of its bout: how much of it is timed, its rounds and their clock, its head, who acts."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Literal

from fightnotes.clock import RoundClock, Timecode
from fightnotes.model import fold
from fightnotes.reading.direction import direction_of
from fightnotes.reading.grammar import FieldMark, TagMark, find_marks
from fightnotes.reading.headed_times import HeadedTime, headed_times
from fightnotes.reading.note_blocks import Block, NoteText, plain_text, read_blocks
from fightnotes.reading.note_file import Draft, drafts_of
from fightnotes.reading.placed_yaml import Item, Reporter, read_yaml
from fightnotes.reading.round_headings import round_of_title

_HEAD_LINES = 12
_NAMED = re.compile(r"\b(?:by|on):", re.IGNORECASE)
_CAPITALISED = re.compile(r"\b[^\W\d_a-z][^\W\d_]+(?:['’-][^\W\d_]+)*")
_LABELLED = re.compile(r"(?P<key>red|blue|date|rounds|analyst)(?: corner)?\s*[:=]\s*(?P<value>\S.*?)\s*", re.IGNORECASE)
"""A line of a head that says what front matter says."""


@dataclass(frozen=True)
class NoteFacts:
    file: str
    encoding: str
    timed: int
    """Moments with a time."""
    untimed: int
    rounds: int
    """The highest round named; 0 where none is."""
    clocks: tuple[Fraction, ...]
    """Its round clocks in seconds, as they stand."""
    highest_frame: int | None
    """Of its timecodes; None where it has none."""
    drop_frame: bool
    """Whether a timecode is written with `;` before the frames."""
    direction: Literal["down", "up"] | None
    """Which way its round clocks run, where that can be told."""
    headed: tuple[HeadedTime, ...]
    """Bare times below the headings of rounds, the ends of ranges too."""
    heading: str | None
    """The first one above the first moment, unless it names a round."""
    head: tuple[str, ...]
    """Lines above the first moment, the heading among them."""
    labelled: Mapping[str, str]
    """Of the head, what is written behind `Red:`, `Blue:`, `Date:`, `Rounds:` or `Analyst:`."""
    acting: tuple[str, ...]
    """Who is named in `by:` and `on:`, each once, corners left out."""
    capitalised: frozenset[str] = frozenset()
    """Words that stand with a capital, folded."""
    matter: Mapping[str, Item] = field(default_factory=dict)
    """Its front matter, by key."""
    matter_end: int = 0
    """The line of the dashes that close the front matter; 0 where there is none."""
    matter_broken: bool = False


def note_facts(file: str, text: str, encoding: str) -> NoteFacts:
    """The facts of one file; `text` is without byte order mark. What cannot be read is for `check` to say."""
    reporter = Reporter(file)
    note = read_blocks(text, reporter)
    drafts = drafts_of(note.blocks, reporter)
    times = [draft.time for draft in drafts if draft.time]
    written_times = [time for written in times for time in (written.span.start, written.span.end)]
    clocks = [time for time in written_times if isinstance(time, RoundClock)]
    timecodes = [time for time in written_times if isinstance(time, Timecode)]
    rounds = [clock.round for clock in clocks] + [draft.heading_round for draft in drafts if draft.heading_round]
    rounds += filter(None, map(round_of_title, _headings(note.blocks)))
    head = _head(note.blocks, next((draft.line for draft in drafts if draft.time), None))
    matter, broken = _matter_of(note, file)
    return NoteFacts(
        file=file,
        encoding=encoding,
        timed=len(times),
        untimed=len(drafts) - len(times),
        rounds=max(rounds, default=0),
        clocks=tuple(clock.seconds for clock in clocks),
        highest_frame=max((code.frames for code in timecodes), default=None),
        drop_frame=any(code.drop for code in timecodes),
        direction=direction_of(times),
        headed=tuple(headed_times(drafts)),
        heading=next((title for title in _headings(head) if round_of_title(title) is None), None),
        head=tuple(plain_text(line.text) for block in head for line in block.lines)[:_HEAD_LINES],
        labelled=_labelled(head),
        acting=tuple(dict.fromkeys(_acting(drafts))),
        capitalised=frozenset(map(fold, set(_CAPITALISED.findall(text)))),
        matter=matter,
        matter_end=note.front_matter_end,
        matter_broken=broken,
    )


def _head(blocks: Iterable[Block], first_moment: int | None) -> list[Block]:
    return [
        block
        for block in blocks
        if block.kind != "literal" and block.lines and (first_moment is None or block.lines[-1].number < first_moment)
    ]


def _headings(blocks: Iterable[Block]) -> list[str]:
    return [plain_text(" ".join(line.text for line in block.lines)) for block in blocks if block.kind == "heading"]


def _labelled(head: Iterable[Block]) -> dict[str, str]:
    lines = (plain_text(line.text).strip(" -*") for block in head for line in block.lines)
    matches = filter(None, map(_LABELLED.fullmatch, lines))
    return {match["key"].lower(): match["value"] for match in reversed(list(matches))}


def _acting(drafts: Iterable[Draft]) -> Iterator[str]:
    texts = (line.text for draft in drafts for part in draft.parts if not part.literal for line in part.lines)
    for text in texts:
        if _NAMED.search(text):
            for mark in find_marks(text):
                fields = mark.fields if isinstance(mark, TagMark) else (mark,)
                yield from (one.value for one in fields if _names_a_person(one))


def _names_a_person(mark: FieldMark) -> bool:
    return mark.key in ("by", "on") and fold(mark.value) not in ("red", "blue")


def _matter_of(note: NoteText, file: str) -> tuple[dict[str, Item], bool]:
    """The front matter's entries, and whether it is something else than a sound mapping."""
    if not note.front_matter:
        return {}, False
    reporter = Reporter(file)
    root = read_yaml(note.front_matter, reporter, note.front_matter_line)
    if root is None:
        return {}, bool(reporter.problems)
    entries = {key.text: value for key, value in root.entries or () if key.text}
    in_braces = note.front_matter.lstrip().startswith("{")  # no line can be added to it
    return entries, bool(reporter.problems) or root.entries is None or in_braces
