"""A SKOS graph -> its sound concepts, the others with the reason, and all that has no place here, named."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal as Choice
from typing import TypeVar

from rdflib import RDF, SKOS, XSD, BNode, Graph, Literal, URIRef
from rdflib.term import Node

from fightnotes.model import Concept, Term, Vocabulary, fold
from fightnotes.reading.vocabulary_file import ADDRESS
from fightnotes.vocabulary.skos import notation_literal
from fightnotes.vocabulary.skos_conditions import graph_breaches
from fightnotes.vocabulary.skos_left_out import Accounts, left_out
from fightnotes.vocabulary.skos_names import BASE, LINKS, MATCHES, OWN, XL
from fightnotes.vocabulary.skos_nodes import RELATIVE, concept_ids, concept_nodes, items_of
from fightnotes.vocabulary.skos_texts import Texts, is_text

T = TypeVar("T", bound=Node)

_INVERSE = {"exact": "exact", "close": "close", "broad": "narrow", "narrow": "broad", "related": "related"}
"""SKOS Reference S43 and S44."""
Pairing = Choice["open", "closed"]


@dataclass(frozen=True)
class Imported:
    vocabulary: Vocabulary
    """The sound concepts; a link may name one that is not among them."""
    refused: Mapping[str, tuple[str, ...]]
    """By id and address, why a concept is not taken."""
    notes: tuple[str, ...]
    """What of the sound concepts is left out or taken otherwise than it stands."""


def vocabulary_of(graph: Graph, language: str) -> Imported:
    """Raises UsageError where `language` is no language range."""
    source = _Source(graph, Texts(graph, language))
    nodes = concept_nodes(graph)
    ids, renamed = concept_ids(graph, nodes, source.texts)
    faults = _faults(graph, source.texts, ids)
    good = {node: id for node, id in ids.items() if node not in faults}
    concepts = tuple(_concept(source, node, ids) for node in good)
    terms = tuple(_terms(source))
    notes = [note for node, note in renamed.items() if node in good]
    notes += [
        f"no preferred label in {language}, so {tag} is taken instead: {', '.join(named)}"
        for tag, named in sorted(source.instead.items())
    ]
    notes += source.notes
    notes += left_out(graph, source.accounts, good, ids)
    notes += [
        f"left out: {count} {'text' if count == 1 else 'texts'} in {tag}, as {language} was asked for"
        for tag, count in sorted(source.texts.left_out.items())
    ]
    refused = {named(ids[node], str(node)): tuple(reasons) for node, reasons in faults.items()}
    return Imported(Vocabulary(concepts=concepts, terms=terms), refused, tuple(notes))


def named(id: str, address: str) -> str:
    """A concept in a message."""
    return f"{id} <{address}>" if ":" in address and not address.startswith(RELATIVE) else id


class _Source:
    """A graph, and what was taken of it."""

    def __init__(self, graph: Graph, texts: Texts) -> None:
        self.graph = graph
        self.texts = texts
        self.accounts: Accounts = set()
        self.notes: list[str] = []
        self.instead: dict[str, list[str]] = defaultdict(list)
        """By language, who is called by it for want of a label in the one asked for."""

    def texts_of(self, node: Node, predicate: URIRef) -> list[Literal]:
        """Those in the language; texts in another are counted, and so accounted for."""
        self.accounts |= {(node, predicate, text) for text in self.graph.objects(node, predicate) if is_text(text)}
        return self.texts.of(node, predicate)


def _faults(graph: Graph, texts: Texts, ids: Mapping[Node, str]) -> dict[Node, list[str]]:
    faults: dict[Node, list[str]] = defaultdict(list)
    for node in ids:
        if not isinstance(node, BNode) and not ADDRESS.fullmatch(str(node)):
            faults[node].append("a broken address")
        if texts.label(node) is None:
            only_xl = " (SKOS-XL labels are not read)" if (node, XL.prefLabel, None) in graph else ""
            faults[node].append(f"no preferred label{only_xl}")
    for node, message in graph_breaches(graph, ids):
        faults[node].append(message)
    return {node: list(dict.fromkeys(faults[node])) for node in ids if node in faults}


def _concept(source: _Source, node: Node, ids: Mapping[Node, str]) -> Concept:
    graph, id = source.graph, ids[node]
    label, *variants = _labels_of(source, node, SKOS.prefLabel)
    if tag := source.texts.instead(node):
        source.instead[tag].append(id)
    if variants:
        kept = ", ".join(f"'{variant.strip()}'" for variant in variants)
        source.notes.append(f"{id}: more preferred labels are kept as alternative ones: {kept}")
    also = [*_in_order(source, node, "also", _labels_of(source, node, SKOS.altLabel)), *variants]
    misheard = _in_order(source, node, "misheard", _labels_of(source, node, SKOS.hiddenLabel))
    preferred = {fold(label)}
    also = _apart(source, id, also, preferred)
    misheard = _apart(source, id, misheard, preferred | set(map(fold, also)))
    return Concept(
        id=id,
        label=label.strip(),
        also=_once(also),
        misheard=_once(misheard),
        broader=_links(source, node, "broader", ids, inverse=SKOS.narrower),
        related=_links(source, node, "related", ids),
        definition=_prose(source, node, SKOS.definition, f"{id}: definitions"),
        scope=_prose(source, node, SKOS.scopeNote, f"{id}: scope notes"),
        pairing=_pairing(graph, node),
        notation=_notation(source, node),
        match=_matches(source, node, ids),
        address=_address(source, node, id),
    )


def _labels_of(source: _Source, node: Node, predicate: URIRef) -> list[Literal]:
    return [text for text in source.texts_of(node, predicate) if text.strip()]


def _apart(source: _Source, id: str, labels: list[Literal], taken: set[str]) -> list[Literal]:
    """The labels that say more than those of a higher role, compared as tags are."""
    same = [label for label in labels if fold(label) in taken]
    if same:
        said = ", ".join(f"'{label}'" for label in same)
        source.notes.append(f"{id}: left out: {said}, another label of it but for case, accents or language")
    return [label for label in labels if fold(label) not in taken]


def _prose(source: _Source, node: Node, predicate: URIRef, what: str) -> str:
    texts = _once(source.texts_of(node, predicate))
    if len(texts) > 1:
        source.notes.append(f"{what} are kept as one text: {len(texts)}")
    return "\n\n".join(texts)


def _links(
    source: _Source, node: Node, key: str, ids: Mapping[Node, str], inverse: URIRef | None = None
) -> tuple[str, ...]:
    """Ids of the concepts that a property links to, or that link here with its inverse."""
    forward = [other for other in source.graph.objects(node, LINKS[key]) if other in ids]
    backward = [other for other in source.graph.subjects(inverse, node) if other in ids] if inverse else []
    source.accounts |= {(node, LINKS[key], other) for other in forward}
    source.accounts |= {(other, inverse, node) for other in backward if inverse}
    return tuple(ids[other] for other in _in_order(source, node, key, list({*forward, *backward})))


def _notation(source: _Source, node: Node) -> tuple[str, ...]:
    """Codes that come out as they came in; others stay unaccounted for."""
    codes: set[str] = set()
    for value in source.graph.objects(node, SKOS.notation):
        if not isinstance(value, Literal) or value.language:
            continue
        plain = value.datatype in (None, XSD.string)
        code = str(value) if plain else f"{value}^^{value.datatype}"
        if code == code.strip() != "" and notation_literal(code) == (Literal(code) if plain else value):
            codes.add(code)
            source.accounts.add((node, SKOS.notation, value))
    return tuple(sorted(codes))


def _matches(source: _Source, node: Node, ids: Mapping[Node, str]) -> tuple[str, ...]:
    """Mapping links, those too that only the other side of a foreign concept says."""
    found: set[str] = set()
    for kind, predicate in MATCHES.items():
        for other in source.graph.objects(node, predicate):
            if isinstance(other, URIRef) and ADDRESS.fullmatch(str(other)):
                found.add(f"{kind} {other}")
                source.accounts.add((node, predicate, other))
        back = MATCHES[_INVERSE[kind]]
        for other in source.graph.subjects(back, node):
            if isinstance(other, URIRef) and other not in ids and ADDRESS.fullmatch(str(other)):
                found.add(f"{kind} {other}")
                source.accounts.add((other, back, node))
    return tuple(sorted(found))


def _address(source: _Source, node: Node, id: str) -> str:
    if isinstance(node, BNode) or str(node) == BASE + id:
        return ""
    if str(node).startswith(RELATIVE):
        relative = str(node).removeprefix(RELATIVE)
        source.notes.append(f"{id}: left out: its address <{relative}>, which the file gives no base for")
        return ""
    return str(node)


def _pairing(graph: Graph, node: Node) -> Pairing | None:
    said = {str(value) for value in graph.objects(node, OWN.pairing)}
    return "open" if "open" in said else "closed" if "closed" in said else None


def _terms(source: _Source) -> Iterator[Term]:
    graph = source.graph
    listed = [node for head in graph.objects(None, OWN.tradeWords) for node in items_of(graph, head)]
    others = sorted(graph.subjects(RDF.type, OWN.TradeWord), key=str)
    for node in dict.fromkeys([*listed, *others]):
        for say in _labels_of(source, node, SKOS.prefLabel)[:1]:
            if tag := source.texts.instead(node):
                source.instead[tag].append(say.strip())
            misheard = _in_order(source, node, "misheard", source.texts_of(node, SKOS.hiddenLabel))
            yield Term(say=say.strip(), misheard=_once(misheard))


def _in_order(source: _Source, node: Node, key: str, values: Sequence[T]) -> list[T]:
    """In the order that our own namespace gives for `key`; what it does not list comes behind, by its text."""
    heads = source.graph.objects(node, OWN[f"{key}InOrder"])
    listed = [item for head in heads for item in items_of(source.graph, head)]
    places = {item: place for place, item in reversed(list(enumerate(listed)))}
    return sorted(values, key=lambda value: (places.get(value, len(listed)), str(value)))


def _once(texts: Sequence[Literal]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(text.strip() for text in texts if text.strip()))
