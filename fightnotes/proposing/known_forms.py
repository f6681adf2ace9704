"""Where a text says what is known already: names of fighters, labels of concepts, trade words."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from fightnotes.language.labels import LabelFinder, Mention, label_finder, labels_of, trade_words
from fightnotes.language.names import NameIndex, find_names, name_index
from fightnotes.language.words import written_words
from fightnotes.model import Bout, Fighter, Vocabulary


@dataclass(frozen=True)
class KnownForms:
    labels: LabelFinder
    """Those of concepts and of trade words, misheard ones among them."""
    names: NameIndex
    longest: int
    """Words of the longest label."""


def known_forms(vocabulary: Vocabulary, bouts: Iterable[Bout], listed: Iterable[Fighter] = ()) -> KnownForms:
    """What the vocabulary says and who fights; `listed` are the fighters whom the settings name."""
    labels = [*labels_of(vocabulary), *trade_words(vocabulary)]
    people = [*listed, *(fighter for bout in bouts for fighter in bout.fighters)]
    longest = max((len(written_words(label.text)) for label in labels), default=0)
    return KnownForms(label_finder(labels), name_index(people, misheard=True), longest)


def without_names(text: str, known: KnownForms) -> str:
    """The text with bars over the names, so that no phrase runs across one; offsets stay."""
    for place in find_names(text, known.names):
        text = f"{text[: place.begin]}{'|' * (place.stop - place.begin)}{text[place.stop :]}"
    return text


def crosses(label: Mention, begin: int, stop: int) -> bool:
    """Whether the words from `begin` to `stop` share some of a label without holding it whole and more besides."""
    apart = stop <= label.begin or label.stop <= begin
    holds = begin <= label.begin and label.stop <= stop and (begin, stop) != (label.begin, label.stop)
    return not apart and not holds
