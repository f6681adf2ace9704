"""Labels of a vocabulary in a text: what every room goes by that asks whether a text names a concept.

A label stands in a text where its words do one behind the other, compared by stem, with no word between them but
those that are passed over, and no stop. Of labels that begin at one word the longest counts, and none runs into
another: a double jab is not a jab beside it.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence, Set
from dataclasses import dataclass, field
from functools import cached_property

from fightnotes.language import spoken
from fightnotes.language.negation import Sense, UndoneSpan, spans_over
from fightnotes.language.words import Word, folded, is_content, stems_of, words_of
from fightnotes.model import LabelRole, Vocabulary, fold

Stems = tuple[str, ...]
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
    text: str = field(repr=False)
    """The whole of it."""

    @property
    def concept(self) -> str:
        return self.label.concept

    @property
    def written(self) -> str:
        """Its words as they stand there."""
        return self.text[self.begin : self.stop]

    @cached_property
    def undone(self) -> tuple[UndoneSpan, ...]:
        """What of the text that is denied, expected or only meant reaches the label."""
        return tuple(spans_over(self.text, self.begin, self.stop))

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
    passed: Set[str]


def labels_of(vocabulary: Vocabulary) -> Iterator[Label]:
    """Of all concepts, in the order of the vocabulary."""
    return (Label(concept.id, text, role) for concept in vocabulary.concepts for text, role in concept.labels())


def trade_words(vocabulary: Vocabulary) -> Iterator[Label]:
    for term in vocabulary.terms:
        yield Label("", term.say, "preferred")
        for text in term.misheard:
            yield Label("", text, "hidden")


def label_finder(labels: Iterable[Label], passed: Set[str] = spoken.DETERMINERS) -> LabelFinder:
    """`passed` are folded words that a text may have between a label's words, or lack of them.

    A possessive may stand there too ("showing Corvale's chin"), and never a word that parts two things ("jab and
    cross"). Of two labels with the same words the first counts, one that is no mishearing before one that is.
    """
    ordered = sorted(labels, key=lambda label: label.role == "hidden")
    root = _Node()
    for label, lacking in ((label, lacking) for lacking in (spoken.DETERMINERS, passed) for label in ordered):
        node = root
        for each in label_stems(label.text, lacking):
            node = node.behind.setdefault(each, _Node())
        if node is not root:
            node.label = node.label or label
    return LabelFinder(root, passed - spoken.PARTING)


def label_stems(label: str, lacking: Set[str] = spoken.DETERMINERS) -> Stems:
    """The stems by which a label is found; none where it holds no content word.

    A label of which one word alone would be left keeps all but its articles and possessives: "show chin" is not said
    by "chin", whatever a text may lack.
    """
    words = words_of(label)
    if not any(is_content(word.text) for word in words):
        return ()
    kept = tuple(word.stem for word in words if fold(word.text) not in lacking)
    return kept if len(kept) > 1 else tuple(word.stem for word in words if fold(word.text) not in spoken.DETERMINERS)


def find_labels(text: str, finder: LabelFinder, words: Sequence[Word] | None = None) -> list[Mention]:
    """In order of place; `words` are those of the text, where they are at hand."""
    stems = stems_of(text) if words is None else [word.stem for word in words]
    if finder.root.behind.keys().isdisjoint(stems):
        return []
    words = words_of(text) if words is None else words
    found: list[Mention] = []
    begin = 0
    while begin < len(words):
        node = finder.root.behind.get(stems[begin])
        last, label = _longest(text, words, stems, begin, node, finder) if node else (begin, None)
        if label:
            found.append(Mention(label, words[begin].begin, words[last].stop, text))
        begin = last + 1
    return found


def _longest(
    text: str, words: Sequence[Word], stems: Sequence[str], begin: int, node: _Node, finder: LabelFinder
) -> tuple[int, Label | None]:
    """The last word of the longest label that begins with a word, and the label."""
    last, label = begin, node.label
    alive = [node]
    for place in range(begin + 1, len(words)):
        if _STOP.search(text, words[place - 1].stop, words[place].begin):
            break
        reached = [each.behind[stems[place]] for each in alive if stems[place] in each.behind]
        ended = next((each.label for each in reached if each.label), None)
        if ended:
            last, label = place, ended
        word = words[place].text
        alive = [*reached, *alive] if folded(word) in finder.passed or word.endswith(spoken.POSSESSIVE) else reached
        if not alive:
            break
    return last, label
