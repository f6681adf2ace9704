"""The texts of a graph in the language asked for, and a count of those left out for their language."""

from __future__ import annotations

from collections import Counter
from typing import TypeGuard

from rdflib import SKOS, XSD, Graph, Literal
from rdflib.term import Node

from fightnotes.errors import UsageError
from fightnotes.vocabulary.skos_names import LANGUAGE_TAG

_EXACT, _NO_LANGUAGE, _IN_RANGE, _OTHER = range(4)


class Texts:
    """Labels and notes in `language`, a basic language range (RFC 4647, section 2.1), and those without a language.

    A concept whose preferred label is in none of it is read in the language instead in which the file has most
    preferred labels: `instead`. Raises UsageError where `language` is no range.
    """

    def __init__(self, graph: Graph, language: str) -> None:
        if language != "*" and not LANGUAGE_TAG.fullmatch(language):
            raise UsageError(f"'{language}' is no language: name one such as en, en-GB or zh-Hant, or * for any")
        self.language = language
        self.left_out: Counter[str] = Counter()
        """By language, texts that `of` did not give for their language."""
        self._graph = graph
        self._instead: dict[Node, str | None] = {}
        self._labels = Counter(
            label.language.lower()
            for label in graph.objects(None, SKOS.prefLabel)
            if isinstance(label, Literal) and label.language
        )

    def of(self, node: Node, predicate: Node) -> list[Literal]:
        """The texts of one kind, those in exactly this language first."""
        taken, others = self._sorted_out(node, predicate)
        self.left_out.update(str(text.language) for text in others)
        return taken

    def all_of(self, node: Node, predicate: Node) -> list[Literal]:
        """The texts of one kind in every language."""
        return sorted(filter(is_text, self._graph.objects(node, predicate)), key=lambda text: (text, text.language))

    def label(self, node: Node) -> Literal | None:
        """The preferred label; None where there is none that says anything."""
        return next((text for text in self._sorted_out(node, SKOS.prefLabel)[0] if text.strip()), None)

    def instead(self, node: Node) -> str | None:
        """The language that the texts of this concept are taken in where it has none in the one asked for."""
        if node not in self._instead:
            labels = self.all_of(node, SKOS.prefLabel)
            if any(_rank(text, self.language) < _OTHER for text in labels):
                self._instead[node] = None
            else:
                tags = {str(text.language).lower() for text in labels}
                self._instead[node] = min(tags, key=lambda tag: (-self._labels[tag], tag), default=None)
        return self._instead[node]

    def _sorted_out(self, node: Node, predicate: Node) -> tuple[list[Literal], list[Literal]]:
        texts = self.all_of(node, predicate)
        taken = [text for text in texts if _rank(text, self.language) < _OTHER]
        if not taken:
            taken = [text for text in texts if str(text.language).lower() == self.instead(node)]
        return sorted(taken, key=lambda text: _rank(text, self.language)), [text for text in texts if text not in taken]


def in_range(tag: str, language: str) -> bool:
    """Basic filtering: RFC 4647 (BCP 47), section 3.3.1."""
    tag, language = tag.lower(), language.lower()
    return language in ("*", tag) or tag.startswith(f"{language}-")


def is_text(node: Node) -> TypeGuard[Literal]:
    """A plain literal, as the SKOS Reference asks of labels (S12), with a language or without."""
    return isinstance(node, Literal) and (node.language is not None or node.datatype in (None, XSD.string))


def _rank(text: Literal, language: str) -> int:
    if not text.language:
        return _NO_LANGUAGE
    if text.language.lower() == language.lower():
        return _EXACT
    return _IN_RANGE if in_range(text.language, language) else _OTHER
