"""What a SKOS graph says and the vocabulary has no place for, named: a line a concept, a scheme and a collection.

Whatever was not taken is named here, so that a kind of statement that nobody thought of is named too.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterable, Iterator, Mapping

from rdflib import RDF, RDFS, SKOS, BNode, Graph, Literal
from rdflib.namespace import DCTERMS
from rdflib.term import Node

from fightnotes.vocabulary.skos_names import BASE, OWN, XL
from fightnotes.vocabulary.skos_nodes import RELATIVE, collections, items_of, schemes

Accounts = set[tuple[Node, Node, Node]]
"""Statements that were taken, or that are named elsewhere."""

_PREFIXES = {str(SKOS): "skos:", str(XL): "skosxl:", str(DCTERMS): "dcterms:", str(RDF): "rdf:", str(RDFS): "rdfs:"}
_TITLES = (SKOS.prefLabel, DCTERMS.title, RDFS.label)
_LONGEST = 60
_MOST_NAMED = 5


def left_out(graph: Graph, accounts: Accounts, good: Mapping[Node, str], ids: Mapping[Node, str]) -> Iterator[str]:
    """The notes; `good` are the concepts that are taken, with their ids, `ids` all concepts of the graph."""
    for node, id in good.items():
        said = [
            f"{_short(predicate)} {_shown(graph, value, ids)}"
            for predicate, value in sorted(graph.predicate_objects(node), key=str)
            if (node, predicate, value) not in accounts and not _said_elsewhere(predicate, value)
        ]
        if said:
            yield f"{id}: left out: {'; '.join(said)}"
    own = _own(graph)
    for scheme in sorted(schemes(graph) - own - ids.keys(), key=str):
        members = {
            *graph.subjects(SKOS.inScheme, scheme),
            *graph.subjects(SKOS.topConceptOf, scheme),
            *graph.objects(scheme, SKOS.hasTopConcept),
        }
        yield f"left out: the concept scheme {_titled(graph, scheme)}, of {_named(members, good)}"
    for collection in sorted(collections(graph) - own - ids.keys(), key=str):
        lists = [item for head in graph.objects(collection, SKOS.memberList) for item in items_of(graph, head)]
        members = {*graph.objects(collection, SKOS.member), *lists}
        yield f"left out: the collection {_titled(graph, collection)}, of {_named(members, good)}"
    yield from _other_resources(graph, accounts, {*own, *schemes(graph), *collections(graph), *ids})


def _said_elsewhere(predicate: Node, value: Node) -> bool:
    return (
        str(predicate).startswith(str(OWN))
        or predicate in (SKOS.inScheme, SKOS.topConceptOf)
        or (predicate, value) == (RDF.type, SKOS.Concept)
    )


def _own(graph: Graph) -> set[Node]:
    """The scheme and the lists that our own export makes."""
    schemes_of_ours = {*graph.subjects(OWN.conceptsInOrder), *graph.subjects(OWN.tradeWords)}
    return {
        *schemes_of_ours,
        *graph.objects(None, OWN.conceptsInOrder),
        *(scheme for scheme in graph.subjects(RDF.type, SKOS.ConceptScheme) if str(scheme) == BASE.rstrip("#")),
    }


def _other_resources(graph: Graph, accounts: Accounts, known: Collection[Node]) -> Iterator[str]:
    labels = {label for name in ("prefLabel", "altLabel", "hiddenLabel") for label in graph.objects(None, XL[name])}
    counts = Counter(
        str(subject)
        for subject, predicate, value in graph
        if not isinstance(subject, BNode)
        and subject not in known
        and subject not in labels
        and (subject, predicate, value) not in accounts
    )
    if counts:
        named = ", ".join(f"<{each}>" for each in sorted(counts)[:_MOST_NAMED])
        more = f" and {len(counts) - _MOST_NAMED} more" if len(counts) > _MOST_NAMED else ""
        what = "1 statement" if counts.total() == 1 else f"{counts.total()} statements"
        yield f"left out: {what} about what is no concept, {named}{more}"


def _named(members: Iterable[Node], good: Mapping[Node, str]) -> str:
    found = [node for node in members if not isinstance(node, Literal)]
    inside = [good[node] for node in good.keys() & found]
    if len(inside) == len(good) > _MOST_NAMED and len(found) == len(inside):
        return f"all {len(inside)} concepts"
    outside = [f"<{node}>" for node in found if node not in good and not isinstance(node, BNode)]
    return ", ".join(sorted(inside) + sorted(outside)) or "no concept"


def _titled(graph: Graph, node: Node) -> str:
    titles = [str(title) for predicate in _TITLES for title in graph.objects(node, predicate)]
    shown = [_text(title) for title in sorted(titles)]
    return " ".join([*([] if isinstance(node, BNode) else [f"<{node}>"]), *shown[:1]]) or "without a name"


def _short(address: Node) -> str:
    for whole, prefix in _PREFIXES.items():
        if str(address).startswith(whole):
            return prefix + str(address).removeprefix(whole)
    return f"<{address}>"


def _shown(graph: Graph, value: Node, ids: Mapping[Node, str]) -> str:
    if isinstance(value, Literal):
        tag = f"@{value.language}" if value.language else f"^^{_short(value.datatype)}" if value.datatype else ""
        return _text(str(value)) + tag
    for form in sorted(graph.objects(value, XL.literalForm), key=str):
        return _shown(graph, form, ids)
    if isinstance(value, BNode):
        inside = "; ".join(f"{_short(p)} {_text(str(o))}" for p, o in sorted(graph.predicate_objects(value), key=str))
        return f"[{inside[: 2 * _LONGEST]}]"
    return ids.get(value) or f"<{str(value).removeprefix(RELATIVE)}>"


def _text(text: str) -> str:
    flat = " ".join(text.split())
    return f"'{flat[:_LONGEST]}…'" if len(flat) > _LONGEST else f"'{flat}'"
