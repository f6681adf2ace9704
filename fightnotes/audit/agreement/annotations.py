"""Who noted what: the annotations of a bout, and the part of it that two annotations share."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from fightnotes.model import Bout, Segment

Annotation = tuple[Segment, ...]
"""What one analyst noted of one bout in one file."""


def annotations_of(bout: Bout, segments: Iterable[Segment]) -> dict[str, tuple[Annotation, ...]]:
    """The annotations of `bout` by each analyst, its own file first and then by path; analysts by name.

    Segments without an analyst are left out.
    """
    found: dict[tuple[str, bool, str], list[Segment]] = {}
    for segment in segments:
        if segment.analyst is not None:
            found.setdefault((segment.analyst, segment.file != bout.file, segment.file), []).append(segment)
    annotations: dict[str, tuple[Annotation, ...]] = {}
    for key in sorted(found):
        annotations[key[0]] = (*annotations.get(key[0], ()), tuple(found[key]))
    return annotations


def merged_annotation(annotations: Sequence[Annotation]) -> Annotation:
    """What an analyst noted of each round in the first annotation that has the round.

    So that notes divided over files are put together, and a second annotation does not count twice against
    another analyst.
    """
    kept: list[Segment] = []
    noted: set[int | None] = set()
    for annotation in annotations:
        kept.extend(segment for segment in annotation if segment.round not in noted)
        noted.update(segment.round for segment in annotation)
    return tuple(kept)


def shared_rounds(first: Annotation, second: Annotation) -> tuple[Annotation, Annotation]:
    """Both annotations without the rounds that only one of them noted.

    Whoever noted nothing in a round may not have watched it. Segments that no round holds count as
    one round more.
    """
    rounds = {segment.round for segment in first} & {segment.round for segment in second}
    return (
        tuple(segment for segment in first if segment.round in rounds),
        tuple(segment for segment in second if segment.round in rounds),
    )
