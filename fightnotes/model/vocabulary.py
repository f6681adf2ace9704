"""The technique vocabulary, in the terms of SKOS (W3C Recommendation, 18 August 2009)."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cached_property
from typing import Literal

from fightnotes.model.bout import Record
from fightnotes.model.hierarchy import Hierarchy
from fightnotes.model.labels import as_tag, fold

LabelRole = Literal["id", "preferred", "alternative", "hidden"]
MATCH_KINDS = ("exact", "close", "broad", "narrow", "related")
"""The mapping properties of SKOS, without their ending `Match`."""


class Concept(Record):
    id: str
    label: str
    """skos:prefLabel"""
    also: tuple[str, ...] = ()
    """skos:altLabel"""
    misheard: tuple[str, ...] = ()
    """skos:hiddenLabel: what a speech recogniser makes of a label."""
    broader: tuple[str, ...] = ()
    related: tuple[str, ...] = ()
    definition: str = ""
    scope: str = ""
    """skos:scopeNote"""
    pairing: Literal["open", "closed"] | None = None
    """The stance pairing in which alone it makes sense."""
    notation: tuple[str, ...] = ()
    """skos:notation, sorted: a code in a classification, with `^^` and the address of its datatype where it has one."""
    match: tuple[str, ...] = ()
    """Mapping links, sorted: one of `MATCH_KINDS`, a space, and the address of a concept of another vocabulary."""
    address: str = ""
    """The IRI under which others know it; empty for a concept of this vocabulary's own."""
    line: int = 0
    """Where the vocabulary file has it; 0 where it came from elsewhere."""

    def labels(self) -> Iterator[tuple[str, LabelRole]]:
        yield self.id, "id"
        yield self.label, "preferred"
        for label in self.also:
            yield label, "alternative"
        for label in self.misheard:
            yield label, "hidden"


class Term(Record):
    """A trade word that is no concept."""

    say: str
    misheard: tuple[str, ...] = ()


class Vocabulary(Record):
    concepts: tuple[Concept, ...] = ()
    terms: tuple[Term, ...] = ()

    @cached_property
    def by_id(self) -> dict[str, Concept]:
        return {concept.id: concept for concept in self.concepts}

    @cached_property
    def by_label(self) -> dict[str, tuple[str, LabelRole]]:
        """Folded label -> (concept id, role); the first concept that has it keeps a shared label."""
        found: dict[str, tuple[str, LabelRole]] = {}
        for concept in self.concepts:
            for label, role in concept.labels():
                found.setdefault(fold(label), (concept.id, role))
        return found

    @cached_property
    def narrower(self) -> dict[str, tuple[str, ...]]:
        """Direct narrower concepts by id."""
        children: dict[str, list[str]] = {concept.id: [] for concept in self.concepts}
        for concept in self.concepts:
            for parent in concept.broader:
                children.setdefault(parent, []).append(concept.id)
        return {parent: tuple(found) for parent, found in children.items()}

    @cached_property
    def hierarchy(self) -> Hierarchy[str]:
        return Hierarchy(self.narrower)

    def resolve(self, label: str) -> str | None:
        """The id that a tag or a label names, compared folded; None where there is none."""
        hit = self.by_label.get(fold(label))
        return hit[0] if hit else None

    def name_of(self, tag: str) -> str:
        """The id of the concept that a tag or a label names; else its own words in the form of an id."""
        written = tag.removeprefix("#")
        return self.resolve(written) or as_tag(fold(written))

    def called(self, name: str) -> str:
        """The preferred label of a concept by its id; the name itself where there is no such concept."""
        return self.by_id[name].label if name in self.by_id else name

    def with_narrower(self, concept_id: str) -> tuple[str, ...]:
        """The concept and all below it, depth first, each once; a cycle ends where it began."""
        return _reach(concept_id, self.narrower)

    def with_broader(self, concept_id: str) -> tuple[str, ...]:
        """The concept and all above it, nearest first, each once."""
        return _reach(concept_id, self._broader)

    @cached_property
    def _broader(self) -> dict[str, tuple[str, ...]]:
        """Direct broader concepts by id."""
        return {concept.id: concept.broader for concept in self.concepts}


def _reach(start: str, steps: dict[str, tuple[str, ...]]) -> tuple[str, ...]:
    seen: dict[str, None] = {}
    waiting = [start]
    while waiting:
        here = waiting.pop()
        if here not in seen:
            seen[here] = None
            waiting.extend(reversed(steps.get(here, ())))
    return tuple(seen)
