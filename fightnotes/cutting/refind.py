"""Finding the moments of a saved cut list again in notes that were edited since."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache

from rapidfuzz import fuzz, process

from fightnotes.clock import ClockError, SpanToken, Time, read_span
from fightnotes.cutting.cuts import Candidate
from fightnotes.cutting.saved import SavedList, SavedMoment, words_of
from fightnotes.model import Bout, Segment, fold
from fightnotes.search.places import innermost

_SAME_TIME = 50.0
"""Likeness of words, 0 to 100, that is enough where the time is the one saved."""
_OTHER_TIME = 85.0
"""Where only the words speak for it: another time, or another file."""
_FEWEST_LETTERS = 12
"""Shorter words, such as "jab again", are written too often to be known without their time."""


@dataclass(frozen=True, slots=True)
class Lost:
    moment: SavedMoment
    instead: Segment | None
    """What may be the same moment, at another time or in another file: a person decides."""
    nearest: Segment | None
    """What in its own file is most like it."""

    def __str__(self) -> str:
        gone = self.gone
        if self.instead is not None:
            return f"{gone}; `fightnotes cut --accept` takes {_shown(self.instead)} in its place"
        return gone if self.nearest is None else f"{gone}; nearest is {_shown(self.nearest)}"

    @property
    def gone(self) -> str:
        """That it is lost, without what is like it."""
        moment = self.moment
        said = moment.time or moment.words
        return f"{_named(moment)} is not in the notes any more" if said else f"{moment.place}: no note stands there"

    def as_json(self) -> dict[str, str | int | None]:
        """`instead` and `nearest`: the places, `file:line`."""
        moment = self.moment.model_dump(include={"file", "line", "time", "words"})
        instead, nearest = (one and one.place for one in (self.instead, self.nearest))
        return {**moment, "instead": instead, "nearest": nearest}


@dataclass(frozen=True, slots=True)
class Refound:
    candidates: tuple[Candidate, ...]
    """In the saved order."""
    lost: tuple[Lost, ...]
    remarks: tuple[str, ...]
    """Which moments read otherwise than they were saved, a sentence each."""


def refind(saved: SavedList, segments: Iterable[Segment], bouts: Mapping[str, Bout], accept: bool = False) -> Refound:
    """The moments of a list as they stand in the notes now.

    A moment at its place is itself where it has the time and the words that were saved; what the list leaves out
    is not asked for. Else it is the segment of its file with its time and its words, and else the one with its
    time whose words are 50 alike (ratio of matching characters, without case or accents, 0 to 100), which
    `remarks` says. Any other one, in its file at another time, or in another file, is another moment until a
    person says that it is not: where its words are 85 alike and have 12 letters the lost moment offers it, and
    `accept` takes it. Of equals, the nearest by line. No segment stands for two moments.
    `bouts` by id; a segment whose bout it lacks is not looked at.
    """
    notes = _Notes(segment for segment in segments if segment.bout in bouts)
    moments = saved.moments
    found = {number: segment for number, one in enumerate(moments) if (segment := notes.at_place(one)) is not None}
    notes.take(found.values())
    offered: dict[int, Segment] = {}
    for likely, taken in (
        (notes.same, found),
        (notes.reworded, found),
        (notes.retimed, offered),
        (notes.moved, offered),
    ):
        for number, moment in enumerate(moments):
            if number not in found and number not in offered and (segment := likely(moment)) is not None:
                notes.take((segment,))
                taken[number] = segment
    if accept:
        found |= offered
    return Refound(
        tuple(_candidate(moment, found[number], bouts) for number, moment in enumerate(moments) if number in found),
        tuple(
            Lost(moment, offered.get(number), notes.nearest(moment))
            for number, moment in enumerate(moments)
            if number not in found
        ),
        tuple(_remarks(moments, found, offered)),
    )


def _candidate(moment: SavedMoment, segment: Segment, bouts: Mapping[str, Bout]) -> Candidate:
    return Candidate(segment=segment, bout=bouts[segment.bout], title=moment.title, handles=moment.handles)


def _remarks(
    moments: Sequence[SavedMoment], found: Mapping[int, Segment], offered: Mapping[int, Segment]
) -> Iterator[str]:
    for number, segment in sorted(found.items()):
        moment = moments[number]
        if number in offered:
            yield f"{_named(moment)}: {_shown(segment)} is taken in its place"
        elif moment.words and moment.words != words_of(segment):
            yield f"{_named(moment)} now reads '{words_of(segment)}'"


class _Notes:
    """Segments, by file; those that a moment stands for already are not free."""

    def __init__(self, segments: Iterable[Segment]) -> None:
        self._files: dict[str, list[Segment]] = defaultdict(list)
        for segment in segments:
            self._files[segment.file].append(segment)
        self._taken: set[int] = set()

    def take(self, segments: Iterable[Segment]) -> None:
        self._taken |= {id(segment) for segment in segments}

    def at_place(self, moment: SavedMoment) -> Segment | None:
        """What stands at its place and has all that was saved of it."""
        file = self._files.get(moment.file, ())
        if not moment.words and moment.time is None:
            return innermost(file, moment.line)
        there = (one for one in file if one.line == moment.line and moment.words in ("", words_of(one)))
        return next((one for one in there if moment.time is None or one.written_time == moment.time), None)

    def same(self, moment: SavedMoment) -> Segment | None:
        """In its file, with its words and, where it has one, its time."""
        free = self._free(moment.file) if moment.time is None else self._timed_alike(moment)
        return self._nearest(moment, (one for one in free if moment.words and words_of(one) == moment.words))

    def reworded(self, moment: SavedMoment) -> Segment | None:
        """In its file, with its time and words like its own."""
        return self._most_alike(moment, self._timed_alike(moment), _SAME_TIME)

    def retimed(self, moment: SavedMoment) -> Segment | None:
        """In its file, with words very like its own."""
        return self._most_alike(moment, self._free(moment.file), _OTHER_TIME) if _telling(moment) else None

    def moved(self, moment: SavedMoment) -> Segment | None:
        """In another file, with words very like its own."""
        others = (one for file in self._files if file != moment.file for one in self._free(file))
        return self._most_alike(moment, others, _OTHER_TIME) if _telling(moment) else None

    def nearest(self, moment: SavedMoment) -> Segment | None:
        """What in its own file is most like it; where it has no words, by line."""
        if moment.words:
            return self._most_alike(moment, self._free(moment.file), 0)
        return self._nearest(moment, self._free(moment.file))

    def _free(self, file: str) -> Iterator[Segment]:
        return (one for one in self._files.get(file, ()) if id(one) not in self._taken)

    def _timed_alike(self, moment: SavedMoment) -> Iterator[Segment]:
        time, free = moment.time, self._free(moment.file)
        return iter(()) if time is None else (one for one in free if _same_time(time, one.written_time))

    def _nearest(self, moment: SavedMoment, segments: Iterable[Segment]) -> Segment | None:
        return min(segments, key=lambda one: abs(one.line - moment.line), default=None)

    def _most_alike(self, moment: SavedMoment, segments: Iterable[Segment], least: float) -> Segment | None:
        """None where no words are `least` alike; of words equally alike the same time, then the nearest line."""
        listed = list(segments)
        words = [self._words[id(one)] for one in listed]
        alike = process.extract(fold(moment.words), words, scorer=fuzz.ratio, score_cutoff=least, limit=None)
        preferred = max(
            ((like, listed[number]) for _, like, number in alike),
            key=lambda pair: (pair[0], pair[1].written_time == moment.time, -abs(pair[1].line - moment.line)),
            default=None,
        )
        return preferred and preferred[1]

    @cached_property
    def _words(self) -> dict[int, str]:
        return {id(one): fold(words_of(one)) for file in self._files.values() for one in file}


def _telling(moment: SavedMoment) -> bool:
    return sum(char.isalnum() for char in moment.words) >= _FEWEST_LETTERS


def _same_time(saved: str, written: str | None) -> bool:
    """Whether both begin at one time: a note that was given an end is the same moment still."""
    if written is None:
        return False
    before, now = _read(saved), _read(written)
    return saved == written or (before is not None and now is not None and _begins(before) == _begins(now))


def _begins(span: SpanToken) -> tuple[Time, str | None]:
    return span.start, span.counting


@lru_cache(maxsize=10_000)
def _read(text: str) -> SpanToken | None:
    try:
        return read_span(text)
    except ClockError:
        return None  # it is then known by its letters


def _named(moment: SavedMoment) -> str:
    return f"{moment.place}: " + " ".join(filter(None, (moment.time, moment.words and f"'{moment.words}'")))


def _shown(segment: Segment) -> str:
    return " ".join(filter(None, (f"{segment.place},", segment.written_time, f"'{words_of(segment)}'")))
