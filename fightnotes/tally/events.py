"""Events of kinds, in groups and in order of time."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy import sparse

Floats = NDArray[np.float64]
Whole = NDArray[np.intp]
Flags = NDArray[np.bool_]
Sparse = Any
"""A `scipy.sparse.csr_array`, for which scipy has no types."""


@dataclass(frozen=True, eq=False)
class Events:
    """By group, and in it by time."""

    place: Floats
    """(events,): seconds, each group wholly behind the one before."""
    end: Whole
    """(events,): where the group of each ends."""
    kinds: tuple[str, ...]
    """All that there are."""
    of_kind: Sparse
    """(events, kinds): 1 where the event is of the kind."""
    actor: Whole
    """(events,): a number for who acts, -1 where nobody says."""
    given: Whole
    """(events,): where each stood in what was given."""

    def are(self, kind: str) -> Flags:
        """(events,): whether each is of the kind."""
        found = np.zeros(len(self.place), dtype=np.bool_)
        if kind in self.kinds:
            found[self.of_kind[:, [self.kinds.index(kind)]].nonzero()[0]] = True
        return found


def events_of(
    groups: ArrayLike,
    seconds: ArrayLike,
    kinds: Sequence[str | Collection[str]],
    actors: Sequence[str | None] | None = None,
) -> Events:
    """One entry an event in each: what it is in (a bout, or better a round of it), when, its kind or kinds, who acts.

    Nothing follows from one group to the next. Times of a group count on one clock, to a thousandth of a second.
    ValueError where a time is no finite number.
    """
    second = np.asarray(seconds, dtype=np.float64)
    if not np.isfinite(second).all():
        raise ValueError("an event without a time follows nothing")
    group = np.unique(np.asarray(groups), return_inverse=True)[1].reshape(-1)
    given = np.lexsort((second, group))
    group, second = group[given], second[given]
    length = float(np.ptp(second)) + 1 if len(second) else 1.0
    names, of_kind = _kinds_of([kinds[place] for place in given.tolist()])
    known: dict[str | None, int] = {None: -1}
    for name in actors or ():
        known.setdefault(name, len(known) - 1)
    actor = np.array([known[name] for name in actors or [None] * len(given)], dtype=np.intp)
    return Events(
        second + group * length, np.searchsorted(group, group, side="right"), names, of_kind, actor[given], given
    )


def _kinds_of(kinds: Sequence[str | Collection[str]]) -> tuple[tuple[str, ...], Sparse]:
    told = [{str(each)} if isinstance(each, str) else set(each) for each in kinds]
    names = tuple(sorted(set().union(*told)))
    number = {name: place for place, name in enumerate(names)}
    rows = [row for row, each in enumerate(told) for _ in each]
    columns = [number[name] for each in told for name in each]
    ones = np.ones(len(rows), dtype=np.int32)
    return names, sparse.csr_array((ones, (rows, columns)), shape=(len(told), len(names)))
