"""The vocabulary as SKOS (W3C Recommendation, 18 August 2009), out and in, with nothing lost.

What SKOS has no word for stands in a namespace of our own: the stance pairing, the trade words that
are no concepts, and the order of labels and links where it is not the alphabetical one. The order of
the concepts is an ordered collection (SKOS Reference, section 9). Only `skos:broader` is written,
not the narrower link that follows from it; both are read.
"""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path
from typing import Any

from rdflib import RDF, SKOS, BNode, Graph, Literal, Namespace, URIRef
from rdflib.collection import Collection
from rdflib.plugins.parsers.notation3 import BadSyntax

from fightnotes.errors import Problem, UnknownName, UnreadableFile
from fightnotes.model import Concept, Term, Vocabulary
from fightnotes.vocabulary.skos_read import vocabulary_of

_BY_ENDING = {".ttl": "turtle", ".jsonld": "json-ld", ".json": "json-ld"}

BASE = "urn:fightnotes:vocabulary#"
"""What a concept's id is put behind, unless the caller names an address of the library's own."""
OWN = Namespace("urn:fightnotes:skos#")
LANGUAGE = "en"

_LABELS = {"also": SKOS.altLabel, "misheard": SKOS.hiddenLabel}
_LINKS = {"broader": SKOS.broader, "related": SKOS.related}
_NOTES = {"definition": SKOS.definition, "scope": SKOS.scopeNote}


def vocabulary_to_graph(vocabulary: Vocabulary, base: str = BASE) -> Graph:
    """One concept scheme, `base` itself without its last `#` or `/`; texts bear the language tag LANGUAGE."""
    graph = Graph(bind_namespaces="none")
    for prefix, name in (("rdf", RDF), ("skos", SKOS), ("own", OWN), ("", base)):
        graph.bind(prefix, name)
    scheme = URIRef(base.rstrip("#/:"))
    graph.add((scheme, RDF.type, SKOS.ConceptScheme))
    nodes = {concept.id: URIRef(base + concept.id) for concept in vocabulary.concepts}
    for concept in vocabulary.concepts:
        _add_concept(graph, concept, nodes, scheme, base)
    if nodes:
        order = BNode()
        graph.add((order, RDF.type, SKOS.OrderedCollection))
        graph.add((order, SKOS.memberList, _list(graph, nodes.values())))
        graph.add((scheme, OWN.conceptsInOrder, order))
    if vocabulary.terms:
        terms = [_add_term(graph, term) for term in vocabulary.terms]
        graph.add((scheme, OWN.tradeWords, _list(graph, terms)))
    return graph


def export_skos(vocabulary: Vocabulary, format: str, base: str = BASE) -> str:
    """The graph as text."""
    graph = vocabulary_to_graph(vocabulary, base)
    if format == "json-ld":
        context = {"skos": str(SKOS), "own": str(OWN)}
        return graph.serialize(format=format, context=context, ensure_ascii=False, sort_keys=True) + "\n"
    return graph.serialize(format=format)


def format_of(path: Path) -> str:
    """The format that a file's ending stands for. Raises UnknownName."""
    if path.suffix.lower() not in _BY_ENDING:
        raise UnknownName(
            f"{path.name}: its ending tells no format: name turtle or json-ld, or end it with .ttl or .jsonld"
        )
    return _BY_ENDING[path.suffix.lower()]


def read_skos_file(path: Path, format: str | None, language: str) -> tuple[Vocabulary, tuple[str, ...]]:
    """As `import_skos`, in the format of the file's ending unless one is named. Raises UnreadableFile, UnknownName."""
    try:
        text = path.read_text(encoding="utf-8-sig")
    except OSError as error:
        raise UnreadableFile(
            Problem(str(path), 0, 0, error.strerror or str(error), "a file that can be read")
        ) from error
    except UnicodeDecodeError as error:
        raise UnreadableFile(Problem(str(path), 1, 1, f"byte {error.start} that is no UTF-8", "UTF-8")) from error
    try:
        return import_skos(text, format or format_of(path), language)
    except UnreadableFile as error:
        raise UnreadableFile(replace(error.problem, file=str(path))) from error


def import_skos(text: str, format: str, language: str = LANGUAGE) -> tuple[Vocabulary, tuple[str, ...]]:
    """The vocabulary that the text holds, and notes: each condition that it breaks, named, and all that is left out.

    Texts in `language` and texts without a language are taken; where a concept has its preferred label
    in neither, another language's is. Nothing is fetched: a JSON-LD context has to stand in the text.
    Raises UnreadableFile.
    """
    if format == "json-ld":
        _refuse_remote_context(text)
    graph = Graph(bind_namespaces="none")
    try:
        graph.parse(data=text, format=format)
    except BadSyntax as error:
        raise _unreadable(error.lines + 1, str(error.message), "Turtle") from error
    except (ValueError, LookupError, TypeError, AttributeError) as error:  # what rdflib's parsers let through
        raise _unreadable(1, str(error), "Turtle" if format == "turtle" else "JSON-LD") from error
    return vocabulary_of(graph, OWN, language)


def _add_concept(graph: Graph, concept: Concept, nodes: dict[str, URIRef], scheme: URIRef, base: str) -> None:
    node = nodes[concept.id]
    graph.add((node, RDF.type, SKOS.Concept))
    graph.add((node, SKOS.inScheme, scheme))
    graph.add((node, SKOS.prefLabel, Literal(concept.label, LANGUAGE)))
    if not concept.broader:
        graph.add((node, SKOS.topConceptOf, scheme))
    for key, predicate in _LABELS.items():
        _add_in_order(graph, node, predicate, key, [Literal(label, LANGUAGE) for label in getattr(concept, key)])
    for key, predicate in _LINKS.items():
        _add_in_order(graph, node, predicate, key, [URIRef(base + other) for other in getattr(concept, key)])
    for key, predicate in _NOTES.items():
        if getattr(concept, key):
            graph.add((node, predicate, Literal(getattr(concept, key), LANGUAGE)))
    if concept.pairing:
        graph.add((node, OWN.pairing, Literal(concept.pairing)))


def _add_term(graph: Graph, term: Term) -> BNode:
    """SKOS Reference 5.6.1: any resource may bear the labelling properties."""
    node = BNode()
    graph.add((node, RDF.type, OWN.TradeWord))
    graph.add((node, SKOS.prefLabel, Literal(term.say, LANGUAGE)))
    _add_in_order(graph, node, SKOS.hiddenLabel, "misheard", [Literal(label, LANGUAGE) for label in term.misheard])
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


def _refuse_remote_context(text: str) -> None:
    try:
        document = json.loads(text)
    except json.JSONDecodeError as error:
        raise _unreadable(error.lineno, error.msg, "JSON-LD", error.colno) from error
    if not isinstance(document, dict | list):
        raise _unreadable(1, type(document).__name__, "a JSON-LD document")
    waiting: list[Any] = [document]
    while waiting:
        here = waiting.pop()
        if isinstance(here, list):
            waiting += here
        elif isinstance(here, dict):
            contexts = here.get("@context", [])
            for context in contexts if isinstance(contexts, list) else [contexts]:
                if isinstance(context, str) or (isinstance(context, dict) and "@import" in context):
                    raise _unreadable(1, f"a context elsewhere, {context}", "the context in the document itself")
            waiting += here.values()


def _unreadable(line: int, found: str, expected: str, column: int = 1) -> UnreadableFile:
    return UnreadableFile(Problem("SKOS", line, column, " ".join(found.split())[:200], expected))
