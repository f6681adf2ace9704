"""Who noted what: the looks at a bout, and the part of it that two looks share."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from fightnotes.model import Bout, Segment

Look = tuple[Segment, ...]
"""What one analyst noted of one bout in one file."""


def looks_at(bout: Bout, segments: Iterable[Segment]) -> dict[str, tuple[Look, ...]]:
    """The looks of each analyst at `bout`, its own file first and then by path; analysts by name.

    Segments without an analyst are left out.
    """
    found: dict[tuple[str, bool, str], list[Segment]] = {}
    for segment in segments:
        if segment.analyst is not None:
            found.setdefault((segment.analyst, segment.file != bout.file, segment.file), []).append(segment)
    looks: dict[str, tuple[Look, ...]] = {}
    for key in sorted(found):
        looks[key[0]] = (*looks.get(key[0], ()), tuple(found[key]))
    return looks


def first_noting(looks: Sequence[Look]) -> Look:
    """What an analyst noted of each round in the first look that has the round.

    So that notes divided over files are put together, and a second look does not count twice against
    another analyst.
    """
    kept: list[Segment] = []
    noted: set[int | None] = set()
    for look in looks:
        kept.extend(segment for segment in look if segment.round not in noted)
        noted.update(segment.round for segment in look)
    return tuple(kept)


def shared_rounds(first: Look, second: Look) -> tuple[Look, Look]:
    """Both looks without the rounds that only one of them noted.

    Whoever noted nothing in a round may not have watched it. Segments that no round holds count as
    one round more.
    """
    rounds = {segment.round for segment in first} & {segment.round for segment in second}
    return (
        tuple(segment for segment in first if segment.round in rounds),
        tuple(segment for segment in second if segment.round in rounds),
    )
