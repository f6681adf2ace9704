"""Labels of a vocabulary in a text: what every room goes by that asks whether a text names a concept.

A label stands in a text where its words do one behind the other, compared by stem, with no word between them but
those that are passed over, and no stop. Of labels that begin at one word the longest counts, and none runs into
another: a double jab is not a jab beside it.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass, field

from fightnotes.language.english import DETERMINERS, POSSESSIVE
from fightnotes.language.negation import Sense, Span, spans_over
from fightnotes.language.words import Word, is_content, stem, words_of
from fightnotes.model import LabelRole, Vocabulary, fold

Stems = tuple[str, ...]
ROLES: frozenset[LabelRole] = frozenset(("id", "preferred", "alternative", "hidden"))
_STOP = re.compile(r"[.;:!?,\n()—–|·]")


@dataclass(frozen=True)
class Label:
    concept: str
    """Its id; empty for a trade word, which is no concept."""
    text: str
    role: LabelRole


@dataclass(frozen=True)
class Mention:
    """A label found in a text."""

    label: Label
    begin: int
    stop: int
    undone: tuple[Span, ...]
    """What the text denies, expects or only means, as far as it reaches the label."""

    @property
    def concept(self) -> str:
        return self.label.concept

    @property
    def sense(self) -> Sense | None:
        """None where the text asserts it."""
        return min((span.sense for span in self.undone), default=None)  # "negated" tells more than "reported"


@dataclass
class _Node:
    label: Label | None = None
    behind: dict[str, _Node] = field(default_factory=dict)
    """By the stem of the next word."""


@dataclass(frozen=True)
class LabelFinder:
    """Labels ready to be found; `label_finder` makes one."""

    root: _Node
    passed: Collection[str]
    across_stops: bool


def labels_of(vocabulary: Vocabulary, roles: Collection[LabelRole] = ROLES) -> Iterator[Label]:
    """The labels of all concepts that have one of the roles, in the order of the vocabulary."""
    for concept in vocabulary.concepts:
        for text, role in concept.labels():
            if role in roles:
                yield Label(concept.id, text, role)


def trade_words(vocabulary: Vocabulary) -> Iterator[Label]:
    for term in vocabulary.terms:
        yield Label("", term.say, "preferred")
        for text in term.misheard:
            yield Label("", text, "hidden")


def label_finder(
    labels: Iterable[Label], *, passed: Collection[str] = DETERMINERS, across_stops: bool = False
) -> LabelFinder:
    """`passed` are folded words that count neither in a label nor between the words of one in a text, where possessives
    never do ("showing Corvale's chin"); `across_stops` says whether a label may run over punctuation.

    Of two labels with the same words the first counts, one that is no mishearing before one that is.
    """
    root = _Node()
    for label in sorted(labels, key=lambda label: label.role == "hidden"):
        node = root
        for each in label_stems(label.text, passed):
            node = node.behind.setdefault(each, _Node())
        if node is not root and node.label is None:
            node.label = label
    return LabelFinder(root, passed, across_stops)


def label_stems(label: str, passed: Collection[str] = DETERMINERS) -> Stems:
    """The stems by which a label is found; none where it holds no content word.

    A label of which one word alone would be left keeps all but its articles and possessives: "show chin" is not said
    by "chin", whatever `passed` holds.
    """
    words = words_of(label)
    if not any(is_content(word.text) for word in words):
        return ()
    kept = tuple(word.stem for word in words if fold(word.text) not in passed)
    return kept if len(kept) > 1 else tuple(word.stem for word in words if fold(word.text) not in DETERMINERS)


def find_labels(text: str, finder: LabelFinder, words: Sequence[Word] | None = None) -> list[Mention]:
    """In order of place; `words` are those of the text, where they are at hand."""
    words = words_of(text) if words is None else words
    stems = [stem(word.text) for word in words]
    found: list[Mention] = []
    begin = 0
    while begin < len(words):
        node = finder.root.behind.get(stems[begin])
        last, label = _longest(text, words, stems, begin, node, finder) if node else (begin, None)
        if label:
            start, stop = words[begin].begin, words[last].stop
            found.append(Mention(label, start, stop, tuple(spans_over(text, start, stop))))
        begin = last + 1
    return found


def _longest(
    text: str, words: Sequence[Word], stems: Sequence[str], begin: int, node: _Node, finder: LabelFinder
) -> tuple[int, Label | None]:
    """The last word of the longest label that begins with a word, and the label."""
    last, label = begin, node.label
    for place in range(begin + 1, len(words)):
        if not finder.across_stops and _STOP.search(text, words[place - 1].stop, words[place].begin):
            break
        behind = node.behind.get(stems[place])
        if behind:
            node = behind
            last, label = (place, node.label) if node.label else (last, label)
        elif fold(words[place].text) not in finder.passed and not words[place].text.endswith(POSSESSIVE):
            break
    return last, label
