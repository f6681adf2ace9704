"""Bare times below the headings of rounds: of the footage, or of the round's clock.

Front matter may say which. Else the file tells: times of the footage only ever grow.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import pairwise
from typing import Literal

from fightnotes.clock import MediaTime, RoundClock, RoundFormat
from fightnotes.reading.excerpt import excerpt
from fightnotes.reading.note_file import Draft
from fightnotes.reading.placed_yaml import Reporter
from fightnotes.reading.timing import WrittenTime

_WITH_HOURS = re.compile(r"[0-9]:[0-9]{2}:[0-9]{2}")
_LONGEST = Fraction(20 * 60)
"""No round lasts longer, in seconds."""
_SURE_STEPS = 2
_SHARE = 4
"""So many steps that no footage takes, and so many to one of the others; by hand, no source."""

HeadedTime = tuple[int, Fraction]
"""The round of the heading, and the seconds that stand below it."""


@dataclass(frozen=True)
class HeadedClock:
    """The clock that the times below headings are of."""

    direction: Literal["down", "up"]
    sure: bool
    times: tuple[Fraction, ...]
    """In seconds."""


def headed_clock(files: Sequence[Sequence[HeadedTime]]) -> HeadedClock | None:
    """The clock of the times of a bout's files, in the order of their lines; None where they may be of the footage.

    On a clock that runs down they fall within a round; on one that runs up they begin anew with each round.
    """
    clocks = tuple(seconds for times in files for _, seconds in times)
    steps = [step for times in files for step in pairwise(times)]
    steps += [(one[-1], other[0]) for one, other in pairwise(filter(None, files)) if one[-1][0] < other[0][0]]
    within = [after - before for (earlier, before), (later, after) in steps if earlier == later]
    between = [after - before for (earlier, before), (later, after) in steps if earlier != later]
    falls, rises = sum(step < 0 for step in within), sum(step > 0 for step in within)
    restarts, goes_on = sum(step < 0 for step in between), sum(step > 0 for step in between)
    if max(clocks, default=Fraction(0)) > _LONGEST:
        return None
    if falls and falls >= _SHARE * rises:
        return HeadedClock("down", falls >= _SURE_STEPS, clocks)
    if restarts and not goes_on and not falls:
        return HeadedClock("up", rises + restarts > _SURE_STEPS, clocks)
    return None


def headed_times(drafts: Sequence[Draft]) -> Iterator[HeadedTime]:
    """Those of a file, in the order of its lines, the ends of ranges too."""
    for _, written, number in _bare(drafts):
        times = (written.span.start, written.span.end)
        yield from ((number, time.seconds) for time in times if isinstance(time, MediaTime))


def put_on_clocks(drafts: Sequence[Draft], rounds: RoundFormat | None, reporter: Reporter) -> None:
    """Makes the bare times of drafts those of their rounds' clocks, where the bout has them so or the file tells.

    What a round is too short for stays a time of the footage. Where too little tells, that is reported.
    """
    told = rounds.times if rounds else None
    if told is None:
        found = headed_clock([list(headed_times(drafts))])
        if found and not found.sure:
            _report_doubt(drafts, reporter)
        told = "clock" if found and found.sure else "footage"
    if told == "clock":
        for draft, written, number in _bare(drafts):
            draft.time = _on_the_clock(written, number, rounds.length if rounds else _LONGEST)


def _on_the_clock(written: WrittenTime, number: int, longest: Fraction) -> WrittenTime:
    start, end = (
        RoundClock(number, time.seconds) if isinstance(time, MediaTime) and time.seconds <= longest else None
        for time in (written.span.start, written.span.end)
    )
    if start is None or (end is None and written.span.end is not None):
        return written
    return replace(written, span=replace(written.span, start=start, end=end))


def _report_doubt(drafts: Sequence[Draft], reporter: Reporter) -> None:
    _, written, number = next(_bare(drafts))
    found = f"{excerpt(written.text)} below a round's heading, read as of the footage, where no footage runs so"
    expected = f"R{number} {written.text}, or `times: clock` in `rounds`; else `times: footage`"
    reporter.at(written.line, written.column, found, expected, "impossible-time")


def _bare(drafts: Sequence[Draft]) -> Iterator[tuple[Draft, WrittenTime, int]]:
    """Those below the heading of a round with minutes and seconds alone, which may be of the footage or of that round's
    clock; each with its time and the round."""
    for draft in drafts:
        written, number = draft.time, draft.heading_round
        if written is None or number is None or _WITH_HOURS.search(written.text):
            continue
        if isinstance(written.span.start, MediaTime):
            yield draft, written, number
