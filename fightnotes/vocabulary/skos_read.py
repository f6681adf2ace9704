"""A SKOS graph -> a vocabulary, with notes on what it breaks and what it has no place for."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import TypeVar
from urllib.parse import unquote

from rdflib import RDF, SKOS, BNode, Graph, Literal, Namespace
from rdflib.term import Node

from fightnotes.model import Concept, Term, Vocabulary, fold
from fightnotes.model.conditions import breaches
from fightnotes.reading.grammar import concept_id_from, is_concept_id
from fightnotes.vocabulary.skos_conditions import graph_breaches

T = TypeVar("T", bound=Node)

_LABELLING = (SKOS.prefLabel, SKOS.altLabel, SKOS.hiddenLabel)
_RELATIONS = (SKOS.broader, SKOS.narrower, SKOS.related)
_NO_CONCEPTS = (SKOS.ConceptScheme, SKOS.Collection, SKOS.OrderedCollection)
_TAKEN = {
    RDF.type, SKOS.inScheme, SKOS.topConceptOf, *_LABELLING, *_RELATIONS, SKOS.definition, SKOS.scopeNote,
}  # fmt: skip


@dataclass
class _Source:
    graph: Graph
    own: Namespace
    language: str
    notes: list[str] = field(default_factory=list)
    other_languages: Counter[str] = field(default_factory=Counter)


def vocabulary_of(graph: Graph, own: Namespace, language: str) -> tuple[Vocabulary, tuple[str, ...]]:
    """The vocabulary and the notes; `own` is the namespace of what SKOS lacks."""
    source = _Source(graph, own, language)
    nodes = _concept_nodes(source)
    ids = _ids(source, nodes)
    vocabulary = Vocabulary(concepts=tuple(_concept(source, node, ids) for node in nodes), terms=tuple(_terms(source)))
    on_graph = list(graph_breaches(graph, ids))
    told = {(condition, id) for condition, id, _ in on_graph}
    broken = [message for _, _, message in on_graph]
    broken += [
        breach.message
        for breach in breaches(vocabulary)
        if not {(breach.condition, breach.concept), (breach.condition, breach.other)} & told
    ]
    lost = Counter(
        predicate
        for node in nodes
        for predicate in graph.predicates(node, None, unique=False)
        if predicate not in _TAKEN and not str(predicate).startswith(str(own))
    )
    left_out = [f"left out: {count} of {name}, which the file has no place for" for name, count in lost.items()]
    left_out += [
        f"left out: {count} texts in {tag}; the file holds one language, and {language} was asked for"
        for tag, count in source.other_languages.items()
    ]
    return vocabulary, (*broken, *source.notes, *sorted(left_out))


def _concept_nodes(source: _Source) -> list[Node]:
    """What is said or entailed to be a concept (S19, S20), and what bears labels and no type; in the order given."""
    graph = source.graph
    found: set[Node] = set(graph.subjects(RDF.type, SKOS.Concept))
    for predicate in _RELATIONS:
        for subject, target in graph.subject_objects(predicate):
            found |= {subject, target}
    for predicate in _LABELLING:
        found |= {node for node in graph.subjects(predicate) if (node, RDF.type, None) not in graph}
    found -= {node for type in _NO_CONCEPTS for node in graph.subjects(RDF.type, type)}
    order = [
        node
        for collection in sorted(graph.objects(None, source.own.conceptsInOrder), key=str)
        for head in graph.objects(collection, SKOS.memberList)
        for node in _items(graph, head)
        if node in found
    ]
    return list(dict.fromkeys([*order, *sorted(found, key=str)]))


def _ids(source: _Source, nodes: Sequence[Node]) -> dict[Node, str]:
    """The last part of each address where it can be an id, else one made from the label."""
    ids: dict[Node, str] = {}
    used: set[str] = set()
    for node in nodes:
        last = "" if isinstance(node, BNode) else unquote(re.split(r"[#/:]", str(node))[-1])
        id = last
        if not is_concept_id(last):
            label = min((str(label) for label in source.graph.objects(node, SKOS.prefLabel)), default=last)
            words = concept_id_from(label).casefold()
            id = words if is_concept_id(words) else f"c-{words}".rstrip("-")
        number, base = 1, id
        while fold(id) in used:
            number += 1
            id = f"{base}-{number}"
        used.add(fold(id))
        if id != last:
            source.notes.append(f"{node} is called {id}: its address does not end in an id of its own")
        ids[node] = id
    return ids


def _concept(source: _Source, node: Node, ids: dict[Node, str]) -> Concept:
    graph = source.graph
    id = ids[node]
    preferred = _texts(source, node, SKOS.prefLabel, any_language=True)
    if not preferred:
        source.notes.append(f"{id} has no preferred label and takes the words of its id")
    label, *variants = preferred or [Literal(id.replace("-", " "))]
    if variants:
        kept = ", ".join(f"'{variant}'" for variant in variants)
        source.notes.append(f"{id}: more preferred labels are kept as alternative ones: {kept}")
    also = [
        text
        for text in (*_in_order(source, node, "also", _texts(source, node, SKOS.altLabel)), *variants)
        if str(text) != str(label) or text.language == label.language
    ]
    misheard = _in_order(source, node, "misheard", _texts(source, node, SKOS.hiddenLabel))
    up = {*graph.objects(node, SKOS.broader), *graph.subjects(SKOS.narrower, node)} & ids.keys()
    beside = {*graph.objects(node, SKOS.related)} & ids.keys()
    pairing = next((str(value) for value in graph.objects(node, source.own.pairing)), None)
    return Concept(
        id=id,
        label=str(label),
        also=_once(also),
        misheard=_once(misheard),
        broader=tuple(ids[other] for other in _in_order(source, node, "broader", list(up))),
        related=tuple(ids[other] for other in _in_order(source, node, "related", list(beside))),
        definition="\n\n".join(_texts(source, node, SKOS.definition)),
        scope="\n\n".join(_texts(source, node, SKOS.scopeNote)),
        pairing="open" if pairing == "open" else "closed" if pairing == "closed" else None,
    )


def _terms(source: _Source) -> Iterator[Term]:
    graph = source.graph
    listed = [node for head in graph.objects(None, source.own.tradeWords) for node in _items(graph, head)]
    others = sorted(graph.subjects(RDF.type, source.own.TradeWord), key=str)
    for node in dict.fromkeys([*listed, *others]):
        for say in _texts(source, node, SKOS.prefLabel, any_language=True)[:1]:
            misheard = _in_order(source, node, "misheard", _texts(source, node, SKOS.hiddenLabel))
            yield Term(say=str(say), misheard=_once(misheard))


def _texts(source: _Source, node: Node, predicate: Node, any_language: bool = False) -> list[Literal]:
    """The texts in the language asked for, its regional forms behind it, and those without a language.

    With `any_language`, the first of another language where there is none.
    """
    texts = sorted((text for text in source.graph.objects(node, predicate) if isinstance(text, Literal)), key=str)
    ranked = {text: _rank(text.language, source.language) for text in texts}
    taken = sorted((text for text in texts if ranked[text] < 3), key=lambda text: ranked[text])
    others = [text for text in texts if ranked[text] == 3]
    if any_language and not taken:
        taken, others = others[:1], others[1:]
    source.other_languages.update(str(text.language) for text in others)
    return taken


def _rank(language: str | None, wanted: str) -> int:
    if not language:
        return 1
    if language.lower() == wanted.lower():
        return 0
    return 2 if language.lower().startswith(f"{wanted.lower()}-") else 3


def _in_order(source: _Source, node: Node, key: str, values: list[T]) -> list[T]:
    """In the order that our own namespace gives for `key`; what it does not list comes behind, by its text."""
    heads = source.graph.objects(node, source.own[f"{key}InOrder"])
    listed = [item for head in heads for item in _items(source.graph, head)]
    places = {item: place for place, item in reversed(list(enumerate(listed)))}
    return sorted(values, key=lambda value: (places.get(value, len(listed)), str(value)))


def _once(texts: Sequence[Node]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(str(text) for text in texts))


def _items(graph: Graph, head: Node) -> Iterator[Node]:
    """The members of an RDF list; one that bites its tail ends there."""
    seen: set[Node] = set()
    while head != RDF.nil and head not in seen:
        seen.add(head)
        first = graph.value(head, RDF.first, any=True)
        if first is not None:
            yield first
        head = graph.value(head, RDF.rest, any=True) or RDF.nil
