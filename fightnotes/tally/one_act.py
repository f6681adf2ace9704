"""Which tellings are of one act: notes of one moment by one analyst or several, and a transcript about it.

Two tellings are of one act where they may be of one moment, of one concept and of one actor.

- *Moment*: as search folds it (`search/moments`), starts within 1.5 s, or within 4 s where the words say the same. The
  words decide between files alone: who writes two lines in one file saw two things, however alike the lines are.
- *Concept*: the same, or one above the other (one analyst tags footwork, the other an outside step), or unsaid.
- *Actor*: the same, or unsaid.

In one segment each tag is an act; only the same act told twice, or told with a broader concept too, is one.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass

from fightnotes.index.encoder import Vectors
from fightnotes.model import Fields
from fightnotes.search.moments import TOGETHER_SECONDS, Window, beside_window, one_moment, seconds_apart, windows_of
from fightnotes.tally.acts import Above, Telling, joined_fields, narrower_of

VectorsOf = Callable[[Sequence[int]], Vectors]
"""Of segments by id."""

_UNSAID = ""
"""Stands for a concept that is not said, where concepts are looked up."""


@dataclass
class _Told:
    """An act with the tellings that were found of it so far."""

    tellings: list[Telling]
    concept: str | None
    fields: Fields
    in_segment: dict[int, Fields]
    """What each segment tells of it first."""
    windows: list[Window]
    """Where the first telling starts; of what has no time, the segment itself."""


def fold_acts(tellings: Iterable[Telling], vectors_of: VectorsOf, above: Above) -> list[list[Telling]]:
    """The tellings of each act, the first of them first, in the order of these."""
    found: list[_Told] = []
    near = _Near(above)
    for telling in tellings:
        windows = windows_of(telling.segment) or [(("segment", str(telling.id)), 0)]
        twin = _twin(telling, windows, near, vectors_of)
        if twin is None:
            twin = _Told([telling], telling.concept, telling.fields, {telling.id: telling.fields}, windows)
            found.append(twin)
            near.add(twin)
            continue
        twin.tellings.append(telling)
        twin.in_segment.setdefault(telling.id, telling.fields)
        twin.fields = joined_fields((twin.fields, telling.fields))
        concept = narrower_of(twin.concept, telling.concept, above)
        if concept != twin.concept:
            twin.concept = concept
            near.add(twin)
    return [told.tellings for told in found]


def _twin(telling: Telling, windows: Sequence[Window], near: _Near, vectors_of: VectorsOf) -> _Told | None:
    """The act that it tells again; one of the same actor before one whose actor only one of them says."""
    for beside in near.candidates(telling, windows):
        alike: _Told | None = None
        for told in beside:
            if _is_one(told, telling, near, vectors_of):
                if set(told.fields.by) == set(telling.fields.by):
                    return told
                alike = alike or told
        if alike:
            return alike
    return None


class _Near:
    """Acts by where their first telling starts and by concept, so that only those are compared that may be one."""

    def __init__(self, above: Above) -> None:
        self._above = above
        self._tagged: dict[tuple[Window, str], list[_Told]] = defaultdict(list)
        """By the concept itself."""
        self._below: dict[tuple[Window, str], list[_Told]] = defaultdict(list)
        """By each concept above it; and all by `_UNSAID`."""

    def add(self, told: _Told) -> None:
        for window in told.windows:
            self._tagged[window, told.concept or _UNSAID].append(told)
            for concept in (_UNSAID, *self.broader(told.concept)):
                self._below[window, concept].append(told)

    def candidates(self, telling: Telling, starts: Sequence[Window]) -> Iterator[list[_Told]]:
        """Acts near it: of its concept, then of those above, then below, then of none. Some may be of another since."""
        windows = [beside for window in starts for beside in beside_window(window)]
        concept = telling.concept or _UNSAID
        for above in (concept, *self.broader(telling.concept)):
            yield from (self._tagged[window, above] for window in windows if (window, above) in self._tagged)
        yield from (self._below[window, concept] for window in windows if (window, concept) in self._below)
        yield from (self._tagged[window, _UNSAID] for window in windows if (window, _UNSAID) in self._tagged)

    def broader(self, concept: str | None) -> tuple[str, ...]:
        """It and all above it; nothing of none."""
        return () if concept is None else self._above(concept)

    def may_be_one(self, concept: str | None, other: str | None) -> bool:
        return not concept or not other or concept in self._above(other) or other in self._above(concept)


def _is_one(told: _Told, telling: Telling, near: _Near, vectors_of: VectorsOf) -> bool:
    if not near.may_be_one(told.concept, telling.concept):
        return False
    if telling.id in told.in_segment:
        return told.in_segment[telling.id] == telling.fields
    if told.fields.by and telling.fields.by and set(told.fields.by) != set(telling.fields.by):
        return False
    first = told.tellings[0]
    apart = seconds_apart(first.segment, telling.segment)
    if apart is None or apart <= TOGETHER_SECONDS or first.segment.file == telling.segment.file:
        return apart is not None and apart <= TOGETHER_SECONDS
    return one_moment(first.segment, telling.segment, vectors_of((first.id, telling.id)))
