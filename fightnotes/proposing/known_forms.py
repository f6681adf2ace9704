"""Where a text says what is known already: names of fighters, labels of concepts, trade words."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from fightnotes.language.names import NameIndex, find_names, name_index
from fightnotes.language.words import is_content, stems_of, words_of
from fightnotes.model import Bout, Fighter, Vocabulary

Stems = tuple[str, ...]


@dataclass(frozen=True)
class KnownPlace:
    begin: int
    stop: int
    stems: Stems
    """Of the label found there."""

    def crosses(self, begin: int, stop: int) -> bool:
        """Whether the words from `begin` to `stop` share some of it without holding it whole and more besides."""
        apart = stop <= self.begin or self.stop <= begin
        holds = begin <= self.begin and self.stop <= stop and (begin, stop) != (self.begin, self.stop)
        return not apart and not holds


@dataclass(frozen=True)
class KnownForms:
    labels: Mapping[Stems, str | None]
    """Stems of each label, misheard ones among them -> its concept, or None for a trade word."""
    names: NameIndex
    longest: int
    """Words of the longest label."""


def known_forms(vocabulary: Vocabulary, bouts: Iterable[Bout], listed: Iterable[Fighter] = ()) -> KnownForms:
    """What the vocabulary says and who fights; `listed` are the fighters whom the settings name."""
    labels: dict[Stems, str | None] = {}
    for concept in vocabulary.concepts:
        for label, _ in concept.labels():
            labels.setdefault(stems_of(label), concept.id)
    for term in vocabulary.terms:
        for form in (term.say, *term.misheard):
            labels.setdefault(stems_of(form), None)
    labels.pop((), None)
    people = [*listed, *(fighter for bout in bouts for fighter in bout.fighters)]
    return KnownForms(labels, name_index(people, misheard=True), max(map(len, labels), default=0))


def without_names(text: str, known: KnownForms) -> str:
    """The text with bars over the names, so that no phrase runs across one; offsets stay."""
    for place in find_names(text, known.names):
        text = f"{text[: place.begin]}{'|' * (place.stop - place.begin)}{text[place.stop :]}"
    return text


def known_places(text: str, known: KnownForms) -> Iterator[KnownPlace]:
    """The labels in a text in order, the longest first, none over another."""
    words = words_of(text)
    stems = [word.stem for word in words]
    position = 0
    while position < len(words):
        longest = min(known.longest, len(words) - position)
        for length in range(longest, 0, -1):
            form = tuple(stems[position : position + length])
            if form in known.labels and any(is_content(word.text) for word in words[position : position + length]):
                yield KnownPlace(words[position].begin, words[position + length - 1].stop, form)
                position += length
                break
        else:
            position += 1
