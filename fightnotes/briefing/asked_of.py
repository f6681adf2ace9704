"""What a question is about, in the library: one concept, who acts, in which bouts, and the acts that are counted."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass

from fightnotes.briefing.question import QuestionAsked
from fightnotes.errors import UsageError
from fightnotes.index.store import Store
from fightnotes.model import fold
from fightnotes.search.filters import Filters, acts_sought
from fightnotes.search.once import once_per_store
from fightnotes.search.people import known_fighters
from fightnotes.tally.acts import CountedAct
from fightnotes.tally.basis import Basis, basis_of

NEAR = 0.6
"""The least cosine at which words that say no label are read as a concept. Of 20 ways to say a concept of the demo and
18 that say none, 15 of the former reach it, all rightly, and none of the latter; it was chosen on them."""
_AS_NEAR = 0.1
"""Concepts below one other that come as near as this to the nearest are meant together."""


@dataclass(frozen=True)
class Missing:
    """What has to be known before there is an answer."""

    says: str


@dataclass(frozen=True)
class Matter:
    store: Store
    question: QuestionAsked
    concept: str
    by: tuple[str, ...]
    """Ids of those who act; none for anybody."""
    filters: Filters
    """With all that the question says."""
    basis: Basis
    """The acts of the concept that are asked about."""
    how_read: tuple[str, ...]
    """What a reader has to know of how the question was taken."""

    @property
    def acts(self) -> tuple[CountedAct, ...]:
        return self.basis.acts

    @property
    def inferred(self) -> bool:
        return self.basis.inferred

    @property
    def called(self) -> str:
        return label_of(self.concept, self.store)

    @property
    def who(self) -> str:
        """Those who act, by name; empty for anybody."""
        return " and ".join(name_of(one, self.store) for one in self.by)

    @property
    def what(self) -> str:
        """`inside step by Ines Corvale`"""
        return f"{self.called} by {self.who}" if self.by else self.called


def label_of(concept: str, store: Store) -> str:
    known = store.vocabulary.by_id.get(concept)
    return known.label if known else concept


def name_of(fighter: str, store: Store) -> str:
    return _names(store).get(fighter, fighter)


@once_per_store
def _names(store: Store) -> dict[str, str]:
    return {one.id: one.name for one in known_fighters(store)}


def matter_of(question: QuestionAsked, store: Store, filters: Filters, *, inferred: bool) -> Matter | Missing:
    """Raises UnknownName for a filter's value, UsageError where a filter and the question name different things."""
    found = _concept(question, store, filters)
    if isinstance(found, Missing):
        return found
    concept, how_read = found
    sought = acts_sought(filters, store)
    by = _agreed("who acts", question.by, tuple(sorted(sought.by)))
    bouts = _bouts(question, store, filters, by)
    if isinstance(bouts, Missing):
        return bouts
    whole = filters.model_copy(
        update={"tags": (concept,), "by": by, "bout": bouts, "rounds": question.asked.rounds or filters.rounds}
    )
    basis = basis_of(store, whole, inferred=inferred)
    if question.pronoun and not by:
        actors = Counter(one for act in basis.acts for one in act.fields.by)
        if len(actors) > 1:
            among = ", ".join(f"{name_of(one, store)} ({count})" for one, count in actors.most_common(5))
            called = label_of(concept, store)
            return Missing(
                f"who is “{question.pronoun}”? {called} is noted of {among}: "
                "name one in the question, or choose who acts"
            )
        if actors:
            by = tuple(actors)
            how_read.append(
                f"“{question.pronoun}” is read as {name_of(by[0], store)}: nobody else is noted with it there"
            )
            whole = whole.model_copy(update={"by": by})
            basis = basis_of(store, whole, inferred=inferred)
    return Matter(store, question, concept, by, whole, basis, tuple(how_read))


def _concept(question: QuestionAsked, store: Store, filters: Filters) -> tuple[str, list[str]] | Missing:
    tags = [store.vocabulary.resolve(tag.removeprefix("#")) or tag.removeprefix("#") for tag in filters.tags]
    if tags:
        others = [label for label, one in zip(question.labels, question.concepts, strict=True) if one != tags[0]]
        return tags[0], [f"read of the tag asked for alone: {tags[0]}"] if others or len(tags) > 1 else []
    if question.concepts:
        first, *others = question.concepts
        called = label_of(first, store)
        said = [f"“{question.labels[0]}” is read as {called}"] if fold(called) != fold(question.labels[0]) else []
        if others:
            left = ", ".join(question.labels[1:])
            said.append(f"only the first concept is answered; left out: {left}")
        return first, said
    nearest = _nearest(question.rest, store)
    if nearest and nearest[1] >= NEAR:
        concept, cosine = nearest
        called = label_of(concept, store)
        return concept, [f"“{question.rest}” says no label: read as {called} (meaning {cosine:.2f})"]
    far = f"; {label_of(nearest[0], store)} is too far in meaning ({nearest[1]:.2f})" if nearest else ""
    return Missing(f"which technique? The question says no label of the vocabulary{far}: name one, or give its tag")


def _nearest(words: str, store: Store) -> tuple[str, float] | None:
    """The concept whose label or definition comes nearest to some words, and the cosine; where another one below the
    same comes as near, that above both: who says "feint" means no kind of it."""
    ids, vectors = store.wording_vectors
    if not words or not ids:
        return None
    near: dict[str, float] = {}
    for concept, cosine in zip(ids, vectors @ store.encoder.encode([words])[0], strict=True):
        near[concept] = max(near.get(concept, -1.0), float(cosine))
    best = max(near, key=lambda concept: near[concept])
    for above in store.vocabulary.by_id[best].broader:
        beside = store.vocabulary.narrower.get(above, ())
        if sum(near[best] - near.get(one, -1.0) <= _AS_NEAR for one in beside) > 1:
            return above, near[best]
    return best, near[best]


def _bouts(question: QuestionAsked, store: Store, filters: Filters, by: tuple[str, ...]) -> tuple[str, ...] | Missing:
    """Those that are named, and of these the ones of everybody who is named; none for all."""
    named = _agreed("which bout", question.bouts, tuple(sorted(acts_sought(filters, store).bout)))
    people = set(question.against)
    if not people:
        return named
    wanted = people | set(by if question.asked.claim != "who does it more" else ())
    found = tuple(
        bout.id
        for bout in store.bouts.values()
        if wanted <= {fighter.id for fighter in bout.fighters} and (not named or bout.id in named)
    )
    together = " and ".join(name_of(one, store) for one in sorted(wanted))
    return found or Missing(f"no bout of the library has {together} in it")


def _agreed(what: str, said: tuple[str, ...], given: Iterable[str]) -> tuple[str, ...]:
    wanted = tuple(given)
    if said and wanted and set(said) != set(wanted):
        raise UsageError(f"{what}: the question says {', '.join(said)}, the filter says {', '.join(wanted)}")
    return said or wanted
