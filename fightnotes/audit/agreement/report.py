"""The agreement report: from segments to coefficients, per two analysts and over all."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations
from math import floor

from fightnotes.audit.agreement.alignment import TOLERANCE, Aligned, Pair, align, extents_of, moments_of
from fightnotes.audit.agreement.annotations import Annotation, annotations_of, merged_annotation, shared_rounds
from fightnotes.audit.agreement.boundaries import boundaries_of, boundary_scores
from fightnotes.audit.agreement.coefficients import masi_distances
from fightnotes.audit.agreement.interval import resample
from fightnotes.audit.agreement.measures import (
    TagSet,
    alpha_by_concept,
    alphas,
    boundary_similarity,
    kappa_by_concept,
    tag_set,
    tagged_moments,
)
from fightnotes.audit.agreement.models import (
    Agreement,
    AgreementReport,
    Comparison,
    Confusion,
    Disagreement,
    Noted,
    Overall,
)
from fightnotes.errors import UnknownName
from fightnotes.model import Bout, Segment, Vocabulary


@dataclass(frozen=True)
class _BoutCompared:
    """Two annotations of one bout, matched."""

    bout: str
    aligned: Aligned
    boundary_scores: tuple[float, ...]


def agreement(segments: Iterable[Segment], bouts: Mapping[str, Bout], vocabulary: Vocabulary) -> AgreementReport:
    """How far analysts agree on the bouts that more than one of them noted, or one of them twice.

    Notes alone are compared, not transcripts, and of a bout the rounds that both analysts noted.
    The same notes give the same report. Raises UnknownName for a segment whose bout is not in `bouts`.
    """
    notes = [segment for segment in segments if segment.kind == "note" and segment.timed]
    placed = [segment for segment in notes if extents_of(segment)]
    compared = _compare_bouts(placed, bouts)
    between = {analysts: found for analysts, found in compared.items() if analysts[0] != analysts[1]}
    return AgreementReport(
        comparisons=tuple(_comparison(analysts, found, vocabulary) for analysts, found in sorted(compared.items())),
        overall=_overall(between, vocabulary),
        without_analyst=sum(segment.analyst is None for segment in placed),
        without_time=len(notes) - len(placed),
    )


def _compare_bouts(
    segments: Sequence[Segment], bouts: Mapping[str, Bout]
) -> dict[tuple[str, str], list[_BoutCompared]]:
    by_bout: dict[str, list[Segment]] = {}
    for segment in segments:
        by_bout.setdefault(segment.bout, []).append(segment)
    compared: dict[tuple[str, str], list[_BoutCompared]] = {}
    for bout_id, noted in sorted(by_bout.items()):
        if bout_id not in bouts:
            raise UnknownName(f"no bout {bout_id}: {noted[0].place} belongs to it")
        annotations = annotations_of(bouts[bout_id], noted)
        meetings = [
            ((one, other), merged_annotation(annotations[one]), merged_annotation(annotations[other]))
            for one, other in combinations(annotations, 2)
        ]
        meetings += [
            ((analyst, analyst), earlier, later)
            for analyst, own in annotations.items()
            for earlier, later in combinations(own, 2)
        ]
        for analysts, one_annotation, other_annotation in meetings:
            first, second = shared_rounds(one_annotation, other_annotation)
            if first:
                compared.setdefault(analysts, []).append(_match(bout_id, first, second))
    return compared


def _match(bout: str, first: Annotation, second: Annotation) -> _BoutCompared:
    left, right = boundaries_of(first), boundaries_of(second)
    scores = [
        score
        for base in {**left, **right}
        for score in boundary_scores(left.get(base, ()), right.get(base, ()), floor(TOLERANCE))
    ]
    return _BoutCompared(bout, align(first, second), tuple(scores))


def _comparison(analysts: tuple[str, str], compared: Sequence[_BoutCompared], vocabulary: Vocabulary) -> Comparison:
    pairs = [pair for found in compared for pair in found.aligned.pairs]
    tags = [(tag_set(pair.first), tag_set(pair.second)) for pair in pairs]
    drawn = resample([pair.first.bout for pair in pairs])
    return Comparison(
        first=analysts[0],
        second=analysts[1],
        bouts=tuple(dict.fromkeys(found.bout for found in compared)),
        pairs=len(pairs),
        first_alone=tuple(_noted(segment) for found in compared for segment in found.aligned.first_alone),
        second_alone=tuple(_noted(segment) for found in compared for segment in found.aligned.second_alone),
        concepts=kappa_by_concept(tags, drawn, vocabulary),
        **alphas(tagged_moments(tags), drawn, "pairs"),
        boundaries=_boundaries(compared),
        disagreements=_disagreements(pairs, tags),
        confusions=_confusions(tags),
    )


def _overall(between: Mapping[tuple[str, str], Sequence[_BoutCompared]], vocabulary: Vocabulary) -> Overall | None:
    if not between:
        return None
    compared = [found for meetings in between.values() for found in meetings]
    moments = moments_of(pair for found in compared for pair in found.aligned.pairs)
    tagged = tagged_moments([[tag_set(segment) for segment in moment] for moment in moments])
    drawn = resample([moment[0].bout for moment in moments])
    return Overall(
        analysts=tuple(sorted({analyst for names in between for analyst in names})),
        bouts=tuple(sorted({found.bout for found in compared})),
        moments=len(moments),
        concepts=alpha_by_concept(tagged, drawn, vocabulary),
        **alphas(tagged, drawn, "moments"),
        boundaries=_boundaries(compared),
    )


def _boundaries(compared: Sequence[_BoutCompared]) -> Agreement:
    scores = [(score, found.bout) for found in compared for score in found.boundary_scores]
    return boundary_similarity([score for score, _ in scores], resample([bout for _, bout in scores]))


def _disagreements(pairs: Sequence[Pair], tags: Sequence[tuple[TagSet, TagSet]]) -> tuple[Disagreement, ...]:
    found = []
    for pair, (first, second) in zip(pairs, tags, strict=True):
        if first != second:
            distance = float(masi_distances(tagged_moments([(first, second)]).sets)[0, 1])
            found.append((distance, len(first ^ second), pair))
    found.sort(key=lambda item: (-item[0], -item[1], item[2].first.file, item[2].first.line))
    return tuple(
        Disagreement(
            bout=pair.first.bout,
            round=pair.first.round,
            distance=distance,
            first=_noted(pair.first),
            second=_noted(pair.second),
        )
        for distance, _, pair in found
    )


def _confusions(tags: Sequence[tuple[TagSet, TagSet]]) -> tuple[Confusion, ...]:
    counted = Counter((one, other) for first, second in tags for one in first - second for other in second - first)
    return tuple(
        Confusion(first=one, second=other, count=count)
        for (one, other), count in sorted(counted.items(), key=lambda item: (-item[1], item[0]))
    )


def _noted(segment: Segment) -> Noted:
    return Noted(
        analyst=segment.analyst or "",
        file=segment.file,
        line=segment.line,
        written_time=segment.written_time or "",
        text=segment.text,
        tags=tuple(sorted({tag.concept or tag.written for tag in segment.tags})),
    )
