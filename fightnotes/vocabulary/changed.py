"""A vocabulary with one thing changed, as a new vocabulary.

Each function gives the whole vocabulary as it shall be. What would break a condition that held
before is refused with UsageError; an id that is not there with UnknownName.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence

from rapidfuzz import process

from fightnotes.errors import UnknownName, UsageError
from fightnotes.model import Concept, Vocabulary, fold
from fightnotes.model.conditions import breaches


def with_concept(vocabulary: Vocabulary, concept: Concept) -> Vocabulary:
    """A new concept behind the last narrower one of its first broader, or at the end where it has none."""
    concepts = list(vocabulary.concepts)
    concepts.insert(_place_for(vocabulary, concept), concept)
    return _sound(vocabulary, concepts)


def with_labels(
    vocabulary: Vocabulary, concept_id: str, also: Iterable[str] = (), misheard: Iterable[str] = ()
) -> Vocabulary:
    """More labels for a concept, each behind those it has."""
    concept = named(vocabulary, concept_id)
    changed = _update(concept, also=(*concept.also, *also), misheard=(*concept.misheard, *misheard))
    return _sound(vocabulary, _replaced(vocabulary, changed))


def merged(vocabulary: Vocabulary, gone: str, into: str) -> Vocabulary:
    """`gone` becomes part of `into`, which takes its labels, its links and, where it has none, its definition.

    The preferred label becomes an alternative one. What was narrower than `gone` or related to it is so
    with `into`; a related link that would then stand beside a broader one (S27) falls away.
    """
    old, kept = named(vocabulary, gone), named(vocabulary, into)
    if old.id == kept.id:
        raise UsageError(f"{gone} cannot be merged into itself")
    repoint = _repointing(old.id, (kept.id,))
    own_broader = _repointing(old.id, old.broader)(kept.broader)
    target = _update(
        kept,
        also=(*kept.also, *_new_labels(kept, (old.label, *old.also, _words(old)))),
        misheard=(*kept.misheard, *_new_labels(kept, old.misheard)),
        broader=tuple(id for id in own_broader if id != kept.id),
        related=(*kept.related, *old.related),
        definition=kept.definition or old.definition,
        scope=kept.scope or old.scope,
    )
    concepts = [
        _without_itself(_update(concept, broader=repoint(concept.broader), related=repoint(concept.related)))
        for concept in _replaced(vocabulary, target)
        if concept.id != old.id
    ]
    return _sound(vocabulary, _apart(concepts, kept.id))


def renamed(
    vocabulary: Vocabulary, concept_id: str, new_id: str | None, new_label: str | None, keep: bool
) -> Vocabulary:
    """Another id, another preferred label, or both; with `keep`, the old words stay as alternative labels."""
    old = named(vocabulary, concept_id)
    new = _update(old, id=new_id or old.id, label=new_label or old.label)
    now_free = [label for label in new.also if fold(label) != fold(new.label)]
    new = _update(new, also=tuple(now_free))
    if keep:
        new = _update(new, also=(*new.also, *_new_labels(new, (old.label, _words(old)))))
    repoint = _repointing(old.id, (new.id,))
    concepts = [
        new if concept is old else _update(concept, broader=repoint(concept.broader), related=repoint(concept.related))
        for concept in vocabulary.concepts
    ]
    return _sound(vocabulary, concepts)


def retired(vocabulary: Vocabulary, concept_id: str) -> Vocabulary:
    """Without the concept: what was narrower goes to its broader concepts, related links to it fall away."""
    old = named(vocabulary, concept_id)
    up, away = _repointing(old.id, old.broader), _repointing(old.id, ())
    concepts = [
        _update(concept, broader=up(concept.broader), related=away(concept.related))
        for concept in vocabulary.concepts
        if concept is not old
    ]
    return _sound(vocabulary, concepts)


def split(vocabulary: Vocabulary, concept_id: str, parts: Sequence[Concept]) -> Vocabulary:
    """The concept with `parts` below it; labels that a part names are taken off the whole."""
    whole = named(vocabulary, concept_id)
    taken = {fold(label) for part in parts for label, _ in part.labels()}
    result = Vocabulary(
        concepts=tuple(
            _replaced(
                vocabulary,
                _update(
                    whole,
                    also=tuple(label for label in whole.also if fold(label) not in taken),
                    misheard=tuple(label for label in whole.misheard if fold(label) not in taken),
                ),
            )
        ),
        terms=vocabulary.terms,
    )
    for part in parts:
        result = with_concept(result, part if part.broader else _update(part, broader=(whole.id,)))
    return result


def named(vocabulary: Vocabulary, concept_id: str) -> Concept:
    """The concept with this id. Raises UnknownName, which offers the nearest id."""
    concept = vocabulary.by_id.get(concept_id)
    if concept is None:
        nearest = process.extractOne(concept_id, list(vocabulary.by_id))
        offer = f"; the nearest is {nearest[0]}" if nearest else ""
        raise UnknownName(f"no concept has the id '{concept_id}'{offer}")
    return concept


def _place_for(vocabulary: Vocabulary, concept: Concept) -> int:
    parent = concept.broader[0] if concept.broader else None
    if parent not in vocabulary.by_id:
        return len(vocabulary.concepts)
    index = max(
        index
        for index, other in enumerate(vocabulary.concepts)
        if other.id == parent or (other.broader and other.broader[0] == parent)
    )
    below = set(vocabulary.with_narrower(vocabulary.concepts[index].id))
    while index + 1 < len(vocabulary.concepts) and vocabulary.concepts[index + 1].id in below:
        index += 1
    return index + 1


def _sound(before: Vocabulary, concepts: Iterable[Concept]) -> Vocabulary:
    after = Vocabulary(concepts=tuple(concepts), terms=before.terms)
    known = {breach.message for breach in breaches(before)}
    new = [breach.message for breach in breaches(after) if breach.message not in known]
    if new:
        raise UsageError(f"the vocabulary would break a condition: {'; '.join(new)}")
    return after


def _apart(concepts: Sequence[Concept], around: str) -> list[Concept]:
    """The concepts without related links to or from `around` that clash with broader at any depth (S27)."""
    vocabulary = Vocabulary(concepts=tuple(concepts))
    line = {*vocabulary.with_broader(around), *vocabulary.with_narrower(around)}
    return [
        _update(concept, related=tuple(id for id in concept.related if id not in line))
        if concept.id == around
        else _update(concept, related=tuple(id for id in concept.related if id != around or concept.id not in line))
        for concept in concepts
    ]


def _replaced(vocabulary: Vocabulary, changed: Concept) -> list[Concept]:
    return [changed if concept.id == changed.id else concept for concept in vocabulary.concepts]


def _repointing(old: str, new: tuple[str, ...]) -> Callable[[tuple[str, ...]], tuple[str, ...]]:
    """A function that puts `new` in the place of `old` among ids, each id once."""

    def repoint(ids: tuple[str, ...]) -> tuple[str, ...]:
        return tuple(dict.fromkeys(each for id in ids for each in (new if id == old else (id,))))

    return repoint


def _without_itself(concept: Concept) -> Concept:
    return _update(
        concept,
        broader=tuple(id for id in concept.broader if id != concept.id),
        related=tuple(id for id in concept.related if id != concept.id),
    )


def _new_labels(concept: Concept, labels: Iterable[str]) -> list[str]:
    """Those that the concept does not have in any role, each once, compared folded."""
    seen = {fold(label) for label, role in concept.labels() if role != "id"}
    new = []
    for label in labels:
        if fold(label) not in seen:
            seen.add(fold(label))
            new.append(label)
    return new


def _words(concept: Concept) -> str:
    return concept.id.replace("-", " ")


def _update(concept: Concept, **changes: str | tuple[str, ...]) -> Concept:
    return concept.model_copy(update=changes)
