"""Single words of the trade that no label covers.

A word alone has no C-value, and most words that are frequent are no terms. What speaks for one: that the trade at large
has it (the labels of a packaged vocabulary), or that it is the head of several terms and tags of this library
("lead hook", "check hook"); and with either, that it stands in many bouts and not in one.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass

from fightnotes.language import in_notes, spoken
from fightnotes.language.labels import Mention, Stems, find_labels
from fightnotes.language.words import is_content, stem, stems_of, words_of
from fightnotes.model import Segment, Vocabulary, fold
from fightnotes.proposing.known_forms import KnownForms
from fightnotes.proposing.misheard_forms import Use
from fightnotes.proposing.term_uses import TermUses

_NO_TERM = frozenset(
    map(stem, (*spoken.STOP_WORDS, *spoken.EMPTY_VERBS, *spoken.SPANS_OF_TIME, *in_notes.SIDES, *in_notes.WAYS))
).union(stem(word) for pair in in_notes.OPPOSITES for word in pair)


@dataclass(frozen=True)
class TradeWord:
    """A label of one word in a vocabulary of the trade at large."""

    text: str
    also: tuple[str, ...]
    """Other labels of the same concept with the same stem."""
    preferred: bool

    def stands_as(self, word: str) -> bool:
        """Whether a folded word of its stem is it: an alternative label is in its own form alone (floored, and not
        the floor)."""
        return self.preferred or word in (self.text, *self.also)


@dataclass(frozen=True)
class WordUses:
    stem: str
    text: str
    """The label of the trade's word, else the form that is met most often."""
    uses: tuple[Use, ...]
    bouts: int
    heads: int
    """Of how many terms and tags of two words or more it is the last word."""
    trade_word: TradeWord | None

    @property
    def segments(self) -> list[int]:
        return sorted({use.segment for use in self.uses})


def word_uses(
    segments: Mapping[int, Segment],
    texts: Mapping[int, str],
    known: KnownForms,
    recurring: Iterable[TermUses],
    names: Iterable[Stems],
    trade: Vocabulary,
    outcomes: Collection[str],
) -> list[WordUses]:
    """Every word outside labels and names that is one of the trade, or the last of a term or of a tag or label.

    `recurring` are the library's terms, `names` its tags and labels. Where only one of them ends with a word, what
    stands inside a longer term is that term's: a pivot that is always a heel pivot is no second proposal.
    """
    of_trade = trade_words_of(trade)
    inside: dict[int, list[Use]] = defaultdict(list)
    for use in (use for term in recurring for use in term.uses):
        inside[use.segment].append(use)
    heads = Counter(name[-1] for name in {*names, *(term.stems for term in recurring)} if len(name) > 1)
    out = _NO_TERM.union(map(stem, outcomes))
    places: dict[str, list[Use]] = defaultdict(list)
    forms: dict[str, Counter[str]] = defaultdict(Counter)
    for number, text in texts.items():
        covered = find_labels(text, known.labels)
        for word in words_of(text):
            root, folded = word.stem, fold(word.text)
            if root in of_trade:
                wanted = of_trade[root].stands_as(folded)
            else:
                wanted = root in heads and root not in out and is_content(folded)
            taken: Sequence[Mention | Use] = covered if heads[root] > 1 else (*covered, *inside[number])
            if wanted and not any(other.begin < word.stop and word.begin < other.stop for other in taken):
                places[root].append(Use(number, word.begin, word.stop))
                forms[root][folded] += 1
    return [
        WordUses(
            stem=root,
            text=of_trade[root].text if root in of_trade else _commonest(forms[root]),
            uses=tuple(uses),
            bouts=len({segments[use.segment].bout for use in uses}),
            heads=heads[root],
            trade_word=of_trade.get(root),
        )
        for root, uses in places.items()
    ]


def _commonest(forms: Counter[str]) -> str:
    return min(forms, key=lambda form: (-forms[form], form))


def trade_words_of(trade: Vocabulary) -> dict[str, TradeWord]:
    """By stem; a preferred label before alternative ones."""
    found: dict[str, TradeWord] = {}
    preferred = [(concept, concept.label) for concept in trade.concepts]
    alternative = [(concept, label) for concept in trade.concepts for label in concept.also]
    for concept, label in (*preferred, *alternative):
        stems = stems_of(label)
        if len(stems) == 1:
            alike = (other for other in concept.also if stems_of(other) == stems and other != label)
            found.setdefault(stems[0], TradeWord(fold(label), tuple(map(fold, alike)), label == concept.label))
    return found
