"""The measures of agreement over moments and the tags that each analyst gave them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial

import numpy as np

from fightnotes.audit.agreement.coefficients import (
    Bools,
    Floats,
    cohen_kappa,
    krippendorff_alpha,
    masi_distances,
    nominal_distances,
    presence_distances,
    units_of,
)
from fightnotes.audit.agreement.interval import FEWEST, Drawn, Statistic, estimate
from fightnotes.audit.agreement.models import Agreement, ConceptAgreement
from fightnotes.model import Segment, Vocabulary

TagSet = frozenset[str]


def tag_set(segment: Segment) -> TagSet:
    """What a segment is tagged with: ids, and tags that the vocabulary does not know in lower case."""
    return frozenset(segment.tag_names)


@dataclass(frozen=True, eq=False)
class TaggedMoments:
    """Moments as arrays: the distinct tag sets, and how many analysts gave each to each moment."""

    concepts: tuple[str, ...]
    sets: Bools
    """(sets, concepts)"""
    counts: Floats
    """(moments, sets)"""

    @property
    def present(self) -> Floats:
        """(moments, concepts): how many analysts tagged a moment with a concept."""
        return self.counts @ self.sets


def tagged_moments(moments: Sequence[Sequence[TagSet]]) -> TaggedMoments:
    """One tag set for each analyst who noted the moment; their order has no meaning."""
    distinct = sorted({tags for moment in moments for tags in moment}, key=sorted)
    concepts = tuple(sorted(frozenset().union(*distinct)))
    sets = np.array([[concept in tags for concept in concepts] for tags in distinct], dtype=np.bool_)
    row = {tags: index for index, tags in enumerate(distinct)}
    counts = np.zeros((len(moments), len(distinct)))
    for index, moment in enumerate(moments):
        for tags, times in Counter(moment).items():
            counts[index, row[tags]] = times
    return TaggedMoments(concepts, sets.reshape(len(distinct), len(concepts)), counts)


def alphas(moments: TaggedMoments, drawn: Drawn, counted: str) -> dict[str, Agreement]:
    """`alpha_nominal` over the presence of concepts, and `alpha_masi` over tag sets with MASI distance."""
    distances = {"alpha_nominal": presence_distances(moments.sets), "alpha_masi": masi_distances(moments.sets)}
    units = {name: units_of(moments.counts, apart) for name, apart in distances.items()}
    return {name: estimate(partial(krippendorff_alpha, each), drawn, counted) for name, each in units.items()}


def kappa_by_concept(
    pairs: Sequence[tuple[TagSet, TagSet]], drawn: Drawn, vocabulary: Vocabulary
) -> tuple[ConceptAgreement, ...]:
    """Cohen's kappa on present and absent, for each concept that either of two analysts used."""
    found = []
    for concept in sorted({concept for pair in pairs for tags in pair for concept in tags}):
        # Cells of the table in the order absent-absent, absent-present, present-absent, present-present.
        cells = np.array([2 * (concept in first) + (concept in second) for first, second in pairs])
        kappa = partial(_binary_kappa, np.eye(4)[cells])
        both, one = int((cells == 3).sum()), int(((cells == 1) | (cells == 2)).sum())
        found.append(_concept_agreement(concept, both, one, _of_uses(both + one, kappa, drawn, "pairs"), vocabulary))
    return tuple(found)


def alpha_by_concept(moments: TaggedMoments, drawn: Drawn, vocabulary: Vocabulary) -> tuple[ConceptAgreement, ...]:
    """Krippendorff's nominal alpha on present and absent, for each concept that any analyst used."""
    noted = moments.counts.sum(axis=1)
    found = []
    for concept, present in zip(moments.concepts, moments.present.T, strict=True):
        units = units_of(np.column_stack((noted - present, present)), nominal_distances(2))
        both, some = int((present == noted).sum()), int(((present > 0) & (present < noted)).sum())
        alpha = _of_uses(both + some, partial(krippendorff_alpha, units), drawn, "moments")
        found.append(_concept_agreement(concept, both, some, alpha, vocabulary))
    return tuple(found)


def _of_uses(uses: int, statistic: Statistic, drawn: Drawn, counted: str) -> Agreement:
    """The agreement on a concept, where it was used often enough to tell."""
    if drawn.units >= FEWEST and uses < FEWEST:
        return Agreement(count=drawn.units, reason=f"too few uses: {uses}, and {FEWEST} are needed")
    return estimate(statistic, drawn, counted)


def boundary_similarity(scores: Sequence[float], drawn: Drawn) -> Agreement:
    """The mean of the scores of boundaries."""
    values = np.array(scores, dtype=np.float64)
    return estimate(lambda weights: weights @ values / weights.sum(axis=1), drawn, "boundaries")


def _binary_kappa(cells: Floats, weights: Floats) -> Floats:
    """`cells` (pairs, 4) has a 1 in the cell that a pair falls into."""
    return cohen_kappa((weights @ cells).reshape(-1, 2, 2))


def _concept_agreement(
    concept: str, both: int, some: int, agreement: Agreement, vocabulary: Vocabulary
) -> ConceptAgreement:
    known = vocabulary.by_id.get(concept)
    return ConceptAgreement(
        concept=concept, label=known.label if known else concept, both=both, some=some, agreement=agreement
    )
