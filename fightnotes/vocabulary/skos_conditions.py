"""The integrity conditions S13, S14 and S27 on a graph, with what the SKOS Reference entails taken in."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from rdflib import SKOS, Graph, Literal
from rdflib.term import Node

from fightnotes.model.conditions import S13, S14, S27

UP = (SKOS.broader, SKOS.broaderTransitive, SKOS.broadMatch)
DOWN = (SKOS.narrower, SKOS.narrowerTransitive, SKOS.narrowMatch)
RELATED = (SKOS.related, SKOS.relatedMatch)
"""With the sub-properties that S22 and S41 name."""

_ROLES = {"preferred": SKOS.prefLabel, "alternative": SKOS.altLabel, "hidden": SKOS.hiddenLabel}


def graph_breaches(graph: Graph, ids: Mapping[Node, str]) -> Iterator[tuple[str, str, str]]:
    """Condition, id and message of each breach among the nodes of `ids`; labels are compared with their language."""
    for node, id in ids.items():
        yield from _labels(graph, node, id)
    parents = {node: {*_linked(graph, node, UP, DOWN)} for node in ids}
    for node, id in ids.items():
        above = _reach(node, parents)
        for other in sorted({*_linked(graph, node, RELATED, RELATED)} & above, key=str):
            yield S27, id, f"S27: {id} is related to {ids.get(other, other)}, which is above it"


def _labels(graph: Graph, node: Node, id: str) -> Iterator[tuple[str, str, str]]:
    roles = {role: set(graph.objects(node, predicate)) for role, predicate in _ROLES.items()}
    names = list(roles)
    for index, first in enumerate(names):
        for second in names[index + 1 :]:
            for label in sorted(roles[first] & roles[second], key=str):
                yield S13, id, f"S13: '{label}' is both {first} and {second} label of {id}"
    by_language: dict[str, list[str]] = {}
    for label in sorted(roles["preferred"], key=str):
        if isinstance(label, Literal):
            by_language.setdefault((label.language or "").lower(), []).append(f"'{label}'")
    for language, labels in sorted(by_language.items()):
        if len(labels) > 1:
            where = f"in {language}" if language else "without a language"
            yield S14, id, f"S14: {id} has {len(labels)} preferred labels {where}: {', '.join(labels)}"


def _linked(graph: Graph, node: Node, there: tuple[Node, ...], back: tuple[Node, ...]) -> Iterator[Node]:
    for predicate in there:
        yield from graph.objects(node, predicate)
    for predicate in back:
        yield from graph.subjects(predicate, node)


def _reach(start: Node, parents: Mapping[Node, set[Node]]) -> set[Node]:
    """What is above `start` by one step or more; `start` itself only where a cycle leads back, and then left out."""
    seen: set[Node] = set()
    waiting = [start]
    while waiting:
        for parent in parents.get(waiting.pop(), ()):
            if parent not in seen:
                seen.add(parent)
                waiting.append(parent)
    return seen - {start}
