"""Finding the moments of a saved cut list again in notes that were edited since."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property

from rapidfuzz import fuzz, process

from fightnotes.cutting.cuts import Candidate
from fightnotes.cutting.saved import SavedList, SavedMoment, words_of
from fightnotes.model import Bout, Segment, fold

_SAME_TIME = 50.0
"""Likeness of words, 0 to 100, that is enough where the time is the one saved."""
_OTHER_TIME = 85.0
"""Where only the words speak for it: another time, or another file."""
_FEWEST_LETTERS = 12
"""Shorter words, such as "jab again", are written too often to be known without their time."""


@dataclass(frozen=True, slots=True)
class Lost:
    moment: SavedMoment
    nearest: Segment | None
    """What in the file is most like it."""

    def __str__(self) -> str:
        moment = self.moment
        said = f"{moment.file}:{moment.line}: {moment.time or 'no time'} '{moment.words}' is not in the notes any more"
        if self.nearest is None:
            return said
        return f"{said}; nearest is line {self.nearest.line}, {self.nearest.written_time} '{words_of(self.nearest)}'"

    def as_json(self) -> dict[str, str | int | None]:
        """`nearest`: the line of what is most like it."""
        moment = self.moment.model_dump(include={"file", "line", "time", "words"})
        return {**moment, "nearest": self.nearest.line if self.nearest else None}


def refind(
    saved: SavedList, segments: Iterable[Segment], bouts: Mapping[str, Bout]
) -> tuple[tuple[Candidate, ...], tuple[Lost, ...]]:
    """Candidates in the saved order, and the moments that were lost.

    A moment unchanged at its place is itself. Else, among the segments that no other moment is unchanged at, it
    is the one most like it by words (ratio of matching characters, without case or accents, 0 to 100): with the
    time that was saved 50 is enough; with another time, or in another file where nothing in its own is like it,
    85, and then the words must have 12 letters. Of equals, the one with the same time, then nearest by line. No
    segment stands for two moments.
    `bouts` by id; a segment whose bout it lacks is not looked at.
    """
    known = [segment for segment in segments if segment.bout in bouts]
    unchanged = {_identity(segment): segment for segment in known}
    claimed = {place for moment in saved.moments if (place := _saved_identity(moment)) in unchanged}
    free = _Free(segment for segment in known if _identity(segment) not in claimed)
    found: list[Candidate] = []
    lost: list[Lost] = []
    for moment in saved.moments:
        segment = unchanged.get(_saved_identity(moment)) or free.take(moment)
        if segment is None:
            lost.append(Lost(moment, free.nearest(moment)))
        else:
            found.append(
                Candidate(segment=segment, bout=bouts[segment.bout], title=moment.title, handles=moment.handles)
            )
    return tuple(found), tuple(lost)


class _Free:
    """Segments that no moment stands for yet."""

    def __init__(self, segments: Iterable[Segment]) -> None:
        self._segments = dict(enumerate(segments))

    @cached_property
    def _words(self) -> dict[int, str]:
        return {number: fold(words_of(segment)) for number, segment in self._segments.items()}

    def take(self, moment: SavedMoment) -> Segment | None:
        """The segment that the moment is, in its own file or else in another; it is not free any more."""
        for own, least in ((True, _SAME_TIME), (False, _OTHER_TIME)):
            ranked = self._ranked(moment, own, least)
            number = next((number for number, like in ranked if like >= _needed(moment, self._segments[number])), None)
            if number is not None:
                return self._segments.pop(number)
        return None

    def nearest(self, moment: SavedMoment) -> Segment | None:
        """What in its own file is most like it."""
        ranked = self._ranked(moment, own=True, least=0)
        return self._segments[ranked[0][0]] if ranked else None

    def _ranked(self, moment: SavedMoment, own: bool, least: float) -> list[tuple[int, float]]:
        """Numbers of segments in the moment's own file or in others, with their likeness, the most like first."""
        words = {
            number: self._words[number] for number, one in self._segments.items() if (one.file == moment.file) is own
        }
        alike = process.extract(fold(moment.words), words, scorer=fuzz.ratio, score_cutoff=least, limit=None)
        scored = [(number, like) for _, like, number in alike]
        return sorted(scored, key=lambda pair: _preference(moment, pair[1], self._segments[pair[0]]), reverse=True)


def _identity(segment: Segment) -> tuple[str, int, str | None, str]:
    return segment.file, segment.line, segment.written_time, words_of(segment)


def _saved_identity(moment: SavedMoment) -> tuple[str, int, str | None, str]:
    return moment.file, moment.line, moment.time, moment.words


def _preference(moment: SavedMoment, likeness: float, segment: Segment) -> tuple[float, bool, int]:
    return likeness, segment.written_time == moment.time, -abs(segment.line - moment.line)


def _needed(moment: SavedMoment, segment: Segment) -> float:
    if segment.file == moment.file and segment.written_time == moment.time and moment.time is not None:
        return _SAME_TIME
    letters = sum(char.isalnum() for char in moment.words)
    return _OTHER_TIME if letters >= _FEWEST_LETTERS else float("inf")
