"""The conditions that a vocabulary must keep, each breach named.

S13, S14 and S27 are integrity conditions of the SKOS Reference (W3C Recommendation, 18 August
2009, sections 5.4 and 8.4). The Reference leaves it to a vocabulary whether broader may run in a
cycle, a concept be related to itself, or two concepts share a label; this one allows none of them.

S14, one preferred label per language, cannot be broken here: a `Concept` holds one label. It is
checked where more could come in, in the vocabulary file's keys and in an imported graph.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from fightnotes.model.labels import fold
from fightnotes.model.vocabulary import Concept, Vocabulary

SAME_ID = "same id"
S13 = "S13"
S14 = "S14"
S27 = "S27"
ITSELF = "related to itself"
SHARED_LABEL = "shared label"
CYCLE = "cycle"
NO_SUCH_CONCEPT = "no such concept"

RULES = {
    SAME_ID: "each id once",
    S13: "each label in one role of its concept (SKOS Reference S13)",
    S14: "one preferred label per language (SKOS Reference S14)",
    S27: "related concepts that are not above or below each other at any depth (SKOS Reference S27)",
    ITSELF: "the id of another concept",
    SHARED_LABEL: "each label in one concept",
    CYCLE: "no concept above itself",
    NO_SUCH_CONCEPT: "the id of a concept",
}
"""What each condition asks for."""


@dataclass(frozen=True)
class Breach:
    condition: str
    """A key of `RULES`."""
    concept: str
    """Id of the concept at fault; of two that share a label or an id, the later."""
    other: str | None
    """The second concept that it is about."""
    message: str
    """One line that names the condition."""
    line: int
    """Of the concept in the vocabulary file; 0 where it came from elsewhere."""
    value: str = ""
    """The label or id as written that breaks the condition."""


def breaches(vocabulary: Vocabulary) -> tuple[Breach, ...]:
    """All breaches, by condition in the order of `RULES`, then in the order of the concepts."""
    return (
        *_same_ids(vocabulary),
        *_roles(vocabulary),
        *_related_apart(vocabulary),
        *_shared_labels(vocabulary),
        *_cycles(vocabulary),
        *_links_to_nothing(vocabulary),
    )


def _same_ids(vocabulary: Vocabulary) -> Iterator[Breach]:
    first: dict[str, Concept] = {}
    for concept in vocabulary.concepts:
        earlier = first.setdefault(fold(concept.id), concept)
        if earlier is not concept:
            where = f" (line {earlier.line})" if earlier.line else ""
            said = f"same id: '{concept.id}' is the id of two concepts, here and '{earlier.id}'{where}"
            yield Breach(SAME_ID, concept.id, earlier.id, said, concept.line, concept.id)


def _roles(vocabulary: Vocabulary) -> Iterator[Breach]:
    for concept in vocabulary.concepts:
        roles: dict[str, str] = {}
        for label, role in concept.labels():
            earlier = role if role == "id" else roles.setdefault(fold(label), role)
            if earlier != role:
                said = f"S13: '{label}' is both {earlier} and {role} label of {concept.id}"
                yield Breach(S13, concept.id, None, said, concept.line, label)


def _related_apart(vocabulary: Vocabulary) -> Iterator[Breach]:
    for concept in vocabulary.concepts:
        above = set(vocabulary.with_broader(concept.id)) - {concept.id} if concept.related else set()
        for other in dict.fromkeys(concept.related):
            if other == concept.id:
                said = f"related to itself: {concept.id}"
                yield Breach(ITSELF, concept.id, other, said, concept.line, other)
                continue
            below = other in vocabulary.by_id and concept.id in vocabulary.with_broader(other)
            if other in above or below:
                where = "above" if other in above else "below"
                said = f"S27: {concept.id} is related to {other}, which is {where} it"
                yield Breach(S27, concept.id, other, said, concept.line, other)


def _shared_labels(vocabulary: Vocabulary) -> Iterator[Breach]:
    owner: dict[str, Concept] = {}
    for concept in vocabulary.concepts:
        told: set[str] = set()
        for label, _ in concept.labels():
            key = fold(label)
            first = owner.setdefault(key, concept)
            if fold(first.id) == fold(concept.id) or key in told:
                continue
            told.add(key)
            where = f" (line {first.line})" if first.line else ""
            said = f"shared label: '{label}' names both {first.id}{where} and {concept.id}"
            yield Breach(SHARED_LABEL, concept.id, first.id, said, concept.line, label)


def _cycles(vocabulary: Vocabulary) -> Iterator[Breach]:
    """Each cycle once, at the first of its concepts."""
    told: set[str] = set()
    for concept in vocabulary.concepts:
        if concept.id in told:
            continue
        path = _way_back(vocabulary, concept.id)
        if path:
            told.update(path)
            above = (*path, concept.id)[1]
            said = f"cycle: {' is below '.join((*path, concept.id))}"
            yield Breach(CYCLE, concept.id, above, said, concept.line, above)


def _way_back(vocabulary: Vocabulary, start: str) -> tuple[str, ...]:
    """A shortest way up from a concept to itself, without the return; empty where there is none."""
    came_from: dict[str, str] = {}
    waiting = [start]
    for here in waiting:
        concept = vocabulary.by_id.get(here)
        for parent in concept.broader if concept else ():
            if parent == start:
                path = [here]
                while path[-1] != start:
                    path.append(came_from[path[-1]])
                return tuple(reversed(path))
            if parent not in came_from:
                came_from[parent] = here
                waiting.append(parent)
    return ()


def _links_to_nothing(vocabulary: Vocabulary) -> Iterator[Breach]:
    for concept in vocabulary.concepts:
        for link, targets in (("broader", concept.broader), ("related", concept.related)):
            for target in dict.fromkeys(targets):
                if target not in vocabulary.by_id:
                    said = f"no such concept: {link} of {concept.id} names '{target}'"
                    yield Breach(NO_SUCH_CONCEPT, concept.id, target, said, concept.line, target)
