"""Proposals for the vocabulary, from what the notes and transcripts say and no label covers."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass

import numpy as np

from fightnotes.errors import UnknownName
from fightnotes.index.encoder import Vectors
from fightnotes.index.store import Store
from fightnotes.model import Moment, Segment, fold
from fightnotes.proposing.known_forms import known_forms, without_names
from fightnotes.proposing.misheard_forms import MisheardForm, misheard_forms
from fightnotes.proposing.proposal import Proposal
from fightnotes.proposing.term_home import home_of, meanings
from fightnotes.proposing.term_uses import TermUses, term_uses

FEWEST_MOMENTS = 3
"""A term stands in that many moments, or it is chance."""
LEAST_GAIN = 0.1
"""How much nearer to each other its moments lie than moments do at large (set by hand on the demo)."""
_EXAMPLES = 3


@dataclass(frozen=True)
class _Weighed:
    term: TermUses
    tightness: float
    weight: float


def propose(store: Store, *, limit: int | None = 20, rejected: Collection[str] = ()) -> tuple[Proposal, ...]:
    """The proposals, those with the most weight first; `rejected` are terms that are not asked again.

    A term's weight is its C-value times how much nearer to each other its moments lie than moments at large, on a
    scale from 0 (no nearer) to 1 (alike), less for a term of few moments. A misheard form weighs what it is near,
    once for each use. Raises StoreTorn, StoreOutdated.
    """
    out = {fold(term) for term in rejected}
    segments = store.every_segment()
    known = known_forms(store.vocabulary, store.bouts.values(), store.settings.fighters)
    texts = {number: without_names(segment.text, known) for number, segment in segments.items()}
    heard = misheard_forms(segments, texts, store.vocabulary, known)
    proposals = [_of_form(form, store, segments) for form in heard if form.text not in out]
    out.update(form.text for form in heard)
    terms = [term for term in term_uses(texts, known, store.settings.outcomes) if term.text not in out]
    proposals += _of_terms(terms, store, segments)
    proposals.sort(key=lambda proposal: (-proposal.weight, proposal.term))
    return tuple(proposals[:limit])


def proposal_of(proposals: tuple[Proposal, ...], term: str) -> Proposal:
    """The proposal that these words name. Raises UnknownName."""
    for proposal in proposals:
        if fold(proposal.term) == fold(term):
            return proposal
    raise UnknownName(f"'{term}' is not proposed: name one of the terms that `fightnotes propose` lists")


def _of_form(form: MisheardForm, store: Store, segments: Mapping[int, Segment]) -> Proposal:
    there = sorted({use.segment for use in form.uses})
    moments = f", {form.same_moment} at a moment tagged so" if form.same_moment else ""
    return Proposal(
        term=form.text,
        kind="misheard",
        concept=form.label.concept or None,
        trade_word=None if form.label.concept else form.label.text,
        uses=len(form.uses),
        segments=len(there),
        near=form.near,
        weight=form.near * len(form.uses),
        why=f"sounds like '{form.label.text}' ({form.near:.2f}){moments}",
        examples=_examples(there, store, segments),
    )


def _of_terms(terms: list[TermUses], store: Store, segments: Mapping[int, Segment]) -> Iterator[Proposal]:
    weighed = list(_weighed(terms, store, segments))
    if not weighed:
        return
    ids, concepts = store.concept_vectors
    near = meanings(store.encoder.encode([each.term.text for each in weighed]), ids, concepts)
    for each, meaning in zip(weighed, near, strict=True):
        there = each.term.segments
        home = home_of(each.term.stems, [segments[number] for number in there], store.vocabulary, meaning)
        yield Proposal(
            term=each.term.text,
            kind=home.kind,
            concept=home.concept,
            uses=len(each.term.uses),
            segments=len(there),
            c_value=each.term.c_value,
            tightness=each.tightness,
            weight=each.weight,
            why=home.why,
            examples=_examples(there, store, segments),
        )


def _weighed(terms: list[TermUses], store: Store, segments: Mapping[int, Segment]) -> Iterator[_Weighed]:
    common = [term for term in terms if len(term.segments) >= FEWEST_MOMENTS and term.c_value > 0]
    if not common:
        return
    at_large = _between(store.vectors_of(list(segments)))
    for term in common:
        vectors = store.vectors_of(term.segments)
        count = len(vectors)
        gain = (_between(vectors) - at_large) / max(1 - at_large, 1e-6)
        if gain >= LEAST_GAIN:
            yield _Weighed(term, tightness(vectors), term.c_value * gain * (count - 1) / (count + 1))


def tightness(vectors: Vectors) -> float:
    """Mean cosine of vectors of length 1 to their centroid, which is the length of their mean; 0 to 1."""
    return float(np.linalg.norm(vectors.mean(axis=0)))


def _between(vectors: Vectors) -> float:
    """Mean cosine between any two of the vectors; unlike that to the centroid it does not fall as they get more."""
    count = len(vectors)
    return float((count * tightness(vectors) ** 2 - 1) / (count - 1)) if count > 1 else 0.0


def _examples(there: list[int], store: Store, segments: Mapping[int, Segment]) -> tuple[Moment, ...]:
    """The first moments in the order of the files, from as many bouts as there are."""
    seen: dict[str, int] = {}
    ranked = []
    for number in there:
        bout = segments[number].bout
        ranked.append((seen.get(bout, 0), number))
        seen[bout] = seen.get(bout, 0) + 1
    chosen = sorted(number for _, number in sorted(ranked)[:_EXAMPLES])
    return tuple(store.moment(segments[number]) for number in chosen)
