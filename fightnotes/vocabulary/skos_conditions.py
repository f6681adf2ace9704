"""The integrity conditions of the SKOS Reference on a graph, with what the Reference entails taken in."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping

from rdflib import RDF, SKOS, Graph, Literal
from rdflib.term import Node

from fightnotes.model.conditions import S13, S14, S27, S46
from fightnotes.model.hierarchy import Hierarchy

S9, S37 = "S9", "S37"

UP = (SKOS.broader, SKOS.broaderTransitive, SKOS.broadMatch)
DOWN = (SKOS.narrower, SKOS.narrowerTransitive, SKOS.narrowMatch)
RELATED = (SKOS.related, SKOS.relatedMatch)
"""With the sub-properties that S22 and S41 name."""

_ROLES = {"preferred": SKOS.prefLabel, "alternative": SKOS.altLabel, "hidden": SKOS.hiddenLabel}
_APART = {SKOS.ConceptScheme: S9, SKOS.Collection: S37, SKOS.OrderedCollection: S37}
"""Classes that no concept belongs to."""


def graph_breaches(graph: Graph, ids: Mapping[Node, str]) -> Iterator[tuple[Node, str]]:
    """Each breach among the nodes of `ids`, with a message that names the condition.

    Labels are compared with their language. At S27 the concept at fault is the lower one.
    """
    for node, id in ids.items():
        yield from ((node, message) for message in _classes(graph, node, id))
        yield from ((node, message) for message in _labels(graph, node, id))
    yield from _related_apart(graph, ids)
    yield from _exact_apart(graph, ids)


def _classes(graph: Graph, node: Node, id: str) -> Iterator[str]:
    for type, condition in _APART.items():
        if (node, RDF.type, type) in graph:
            yield f"{condition}: {id} is both a concept and a {type.removeprefix(str(SKOS))}"


def _labels(graph: Graph, node: Node, id: str) -> Iterator[str]:
    roles = {role: set(graph.objects(node, predicate)) for role, predicate in _ROLES.items()}
    names = list(roles)
    for index, first in enumerate(names):
        for second in names[index + 1 :]:
            for label in sorted(roles[first] & roles[second], key=str):
                yield f"{S13}: '{label}' is both {first} and {second} label of {id}"
    by_language: dict[str, list[str]] = {}
    for label in sorted(roles["preferred"], key=str):
        if isinstance(label, Literal):
            by_language.setdefault((label.language or "").lower(), []).append(f"'{label}'")
    for language, labels in sorted(by_language.items()):
        if len(labels) > 1:
            where = f"in {language}" if language else "without a language"
            yield f"{S14}: {id} has {len(labels)} preferred labels {where}: {', '.join(labels)}"


def _related_apart(graph: Graph, ids: Mapping[Node, str]) -> Iterator[tuple[Node, str]]:
    below: dict[Node, set[Node]] = defaultdict(set)
    for lower, upper in (*_linked(graph, UP), *((low, up) for up, low in _linked(graph, DOWN))):
        below[upper].add(lower)
    hierarchy = Hierarchy(dict(below))
    pairs = {pair for one, other in _linked(graph, RELATED) for pair in ((one, other), (other, one)) if one != other}
    for node, other in sorted(pairs, key=str):
        if node in ids and hierarchy.is_above(other, node):
            yield node, f"{S27}: {ids[node]} is related to {ids.get(other, other)}, which is above it"


def _exact_apart(graph: Graph, ids: Mapping[Node, str]) -> Iterator[tuple[Node, str]]:
    """S46, where exact matches are symmetric (S44) and transitive (S45)."""
    exact: dict[Node, set[Node]] = defaultdict(set)
    for one, other in graph.subject_objects(SKOS.exactMatch):
        exact[one].add(other)
        exact[other].add(one)
    alike = Hierarchy(dict(exact))
    for kind in ("broad", "narrow", "related"):
        for node, other in sorted(graph.subject_objects(SKOS[f"{kind}Match"]), key=str):
            if alike.is_above(node, other):
                at = node if node in ids else other
                message = f"{S46}: {ids.get(node, node)} is an exact and a {kind} match of {ids.get(other, other)}"
                if at in ids:
                    yield at, message


def _linked(graph: Graph, predicates: tuple[Node, ...]) -> Iterator[tuple[Node, Node]]:
    for predicate in predicates:
        yield from graph.subject_objects(predicate)
