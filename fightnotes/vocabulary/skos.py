"""The vocabulary as SKOS (W3C Recommendation, 18 August 2009), with nothing lost.

What SKOS has no word for stands in a namespace of our own: the stance pairing, the trade words that
are no concepts, the order of labels and links where it is not the alphabetical one, and the id where the address does
not end in it. The order of the concepts is an ordered collection (SKOS Reference, section 9). Only `skos:broader` is
written, not the narrower link that follows from it.
"""

from __future__ import annotations

import re
from collections.abc import Iterable

from rdflib import RDF, SKOS, BNode, Graph, Literal, URIRef
from rdflib.collection import Collection

from fightnotes.errors import UsageError
from fightnotes.model import Concept, Term, Vocabulary
from fightnotes.reading.vocabulary_file import ADDRESS
from fightnotes.vocabulary.skos_names import BASE, LABELS, LANGUAGE, LANGUAGE_TAG, LINKS, MATCHES, NOTES, OWN


def vocabulary_to_graph(vocabulary: Vocabulary, base: str = BASE, language: str = LANGUAGE) -> Graph:
    """One concept scheme, `base` itself without its last `#` or `/`; texts bear the language tag `language`.

    A concept that came from elsewhere keeps the address that it has there.

    Raises UsageError where `language` is no tag.
    """
    if not LANGUAGE_TAG.fullmatch(language):
        raise UsageError(f"'{language}' is no language: name one such as en, en-GB or zh-Hant")
    graph = Graph(bind_namespaces="none")
    for prefix, name in (("rdf", RDF), ("skos", SKOS), ("own", OWN), ("", base)):
        graph.bind(prefix, name)
    scheme = URIRef(base.rstrip("#/:"))
    graph.add((scheme, RDF.type, SKOS.ConceptScheme))
    nodes = {concept.id: URIRef(concept.address or base + concept.id) for concept in vocabulary.concepts}
    for concept in vocabulary.concepts:
        _add_concept(graph, concept, nodes, scheme, base, language)
    if nodes:
        order = BNode()
        graph.add((order, RDF.type, SKOS.OrderedCollection))
        graph.add((order, SKOS.memberList, _list(graph, nodes.values())))
        graph.add((scheme, OWN.conceptsInOrder, order))
    if vocabulary.terms:
        terms = [_add_term(graph, term, language) for term in vocabulary.terms]
        graph.add((scheme, OWN.tradeWords, _list(graph, terms)))
    return graph


def export_skos(vocabulary: Vocabulary, format: str, base: str = BASE, language: str = LANGUAGE) -> str:
    """The graph as text. Raises UsageError."""
    graph = vocabulary_to_graph(vocabulary, base, language)
    if format == "json-ld":
        context = {"skos": str(SKOS), "own": str(OWN)}
        return graph.serialize(format=format, context=context, ensure_ascii=False, sort_keys=True) + "\n"
    return graph.serialize(format=format)


def _add_concept(
    graph: Graph, concept: Concept, nodes: dict[str, URIRef], scheme: URIRef, base: str, language: str
) -> None:
    node = nodes[concept.id]
    graph.add((node, RDF.type, SKOS.Concept))
    graph.add((node, SKOS.inScheme, scheme))
    graph.add((node, SKOS.prefLabel, Literal(concept.label, language)))
    if not concept.broader:
        graph.add((node, SKOS.topConceptOf, scheme))
    for key, predicate in LABELS.items():
        _add_in_order(graph, node, predicate, key, [Literal(label, language) for label in getattr(concept, key)])
    for key, predicate in LINKS.items():
        others = [nodes.get(other, URIRef(base + other)) for other in getattr(concept, key)]
        _add_in_order(graph, node, predicate, key, others)
    for key, predicate in NOTES.items():
        if getattr(concept, key):
            graph.add((node, predicate, Literal(getattr(concept, key), language)))
    for code in concept.notation:
        graph.add((node, SKOS.notation, notation_literal(code)))
    for kind, _, address in (match.partition(" ") for match in concept.match):
        graph.add((node, MATCHES[kind], URIRef(address)))
    if re.split("[#/:]", concept.address or concept.id)[-1] != concept.id:
        graph.add((node, OWN.id, Literal(concept.id)))
    if concept.pairing:
        graph.add((node, OWN.pairing, Literal(concept.pairing)))


def notation_literal(code: str) -> Literal:
    """A code with `^^` and an address behind it is of that datatype (SKOS Reference, section 6), any other plain."""
    text, mark, datatype = code.rpartition("^^")
    if mark and ADDRESS.fullmatch(datatype):
        return Literal(text, datatype=URIRef(datatype), normalize=False)
    return Literal(code)


def _add_term(graph: Graph, term: Term, language: str) -> BNode:
    """SKOS Reference 5.6.1: any resource may bear the labelling properties."""
    node = BNode()
    graph.add((node, RDF.type, OWN.TradeWord))
    graph.add((node, SKOS.prefLabel, Literal(term.say, language)))
    _add_in_order(graph, node, SKOS.hiddenLabel, "misheard", [Literal(label, language) for label in term.misheard])
    return node


def _add_in_order(
    graph: Graph, node: URIRef | BNode, predicate: URIRef, key: str, values: list[Literal] | list[URIRef]
) -> None:
    for value in values:
        graph.add((node, predicate, value))
    if [str(value) for value in values] != sorted(str(value) for value in values):
        graph.add((node, OWN[f"{key}InOrder"], _list(graph, values)))


def _list(graph: Graph, items: Iterable[URIRef | BNode | Literal]) -> BNode:
    head = BNode()
    Collection(graph, head, list(items))
    return head
