"""Which nodes of a graph are concepts, and what id each gets."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Sequence
from urllib.parse import unquote

from rdflib import RDF, SKOS, BNode, Graph, Literal
from rdflib.term import Node

from fightnotes.model import fold
from fightnotes.reading.grammar import is_concept_id
from fightnotes.vocabulary.skos_names import OWN
from fightnotes.vocabulary.skos_texts import Texts

RELATIVE = "file:///"
"""What an address begins with that is relative in a file which gives no base."""

_LABELLING = (SKOS.prefLabel, SKOS.altLabel, SKOS.hiddenLabel)
_RELATIONS = (
    SKOS.broader, SKOS.narrower, SKOS.related, SKOS.broaderTransitive, SKOS.narrowerTransitive, SKOS.semanticRelation,
)  # fmt: skip


def concept_nodes(graph: Graph) -> list[Node]:
    """What is said or entailed to be a concept (S19, S20), and what bears labels and no type; in the order given."""
    said = set(graph.subjects(RDF.type, SKOS.Concept))
    found: set[Node] = set(said)
    for predicate in _RELATIONS:
        for subject, target in graph.subject_objects(predicate):
            found |= {subject, target}
    found |= set(graph.subjects(SKOS.topConceptOf)) | set(graph.objects(None, SKOS.hasTopConcept))
    for predicate in _LABELLING:
        found |= {node for node in graph.subjects(predicate) if (node, RDF.type, None) not in graph}
    found -= {*collections(graph), *schemes(graph)} - said
    found = {node for node in found if not isinstance(node, Literal)}
    order = [
        node
        for collection in sorted(graph.objects(None, OWN.conceptsInOrder), key=str)
        for head in graph.objects(collection, SKOS.memberList)
        for node in items_of(graph, head)
        if node in found
    ]
    return list(dict.fromkeys([*order, *sorted(found, key=str)]))


def schemes(graph: Graph) -> set[Node]:
    """Concept schemes, said or entailed (S4, S5, S7)."""
    return {
        *graph.subjects(RDF.type, SKOS.ConceptScheme),
        *graph.objects(None, SKOS.inScheme),
        *graph.objects(None, SKOS.topConceptOf),
        *graph.subjects(SKOS.hasTopConcept),
    }


def collections(graph: Graph) -> set[Node]:
    """Collections, said or entailed (S29, S31, S33)."""
    return {
        *graph.subjects(RDF.type, SKOS.Collection),
        *graph.subjects(RDF.type, SKOS.OrderedCollection),
        *graph.subjects(SKOS.member),
        *graph.subjects(SKOS.memberList),
    }


def concept_ids(graph: Graph, nodes: Sequence[Node], texts: Texts) -> tuple[dict[Node, str], dict[Node, str]]:
    """Ids, and notes on those that the address does not end in.

    An id is what our own export says it is, else the last part of the address where that can be an id, else one made
    from the label.
    """
    ids: dict[Node, str] = {}
    notes: dict[Node, str] = {}
    used: set[str] = set()
    numbers: Counter[str] = Counter()
    for node in nodes:
        said = next(filter(is_concept_id, sorted(map(str, graph.objects(node, OWN.id)))), None)
        last = "" if isinstance(node, BNode) else unquote(re.split(r"[#/:]", str(node))[-1])
        id = first = said or (last if is_concept_id(last) else _from_words(str(texts.label(node) or last)))
        while fold(id) in used:
            numbers[first] += 1
            id = f"{first}-{numbers[first] + 1}"
        used.add(fold(id))
        if id not in (said, last):
            where = "a concept without an address" if isinstance(node, BNode) else str(node)
            notes[node] = f"{where} is called {id}: its address does not end in an id of its own"
        ids[node] = id
    return ids, notes


def _from_words(text: str) -> str:
    words = re.sub(r"[\W_]+", "-", text.casefold()).strip("-")
    return words if is_concept_id(words) else f"c-{words}".rstrip("-")


def items_of(graph: Graph, head: Node) -> Iterator[Node]:
    """The members of an RDF list; one that bites its tail ends there."""
    seen: set[Node] = set()
    while head != RDF.nil and head not in seen:
        seen.add(head)
        first = graph.value(head, RDF.first, any=True)
        if first is not None:
            yield first
        head = graph.value(head, RDF.rest, any=True) or RDF.nil
