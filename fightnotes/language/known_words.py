"""What may be meant in a talk: the names of a bout's fighters, and the labels and trade words of a vocabulary."""

from __future__ import annotations

import unicodedata
from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property
from itertools import groupby

from fightnotes.language import spoken
from fightnotes.language.labels import Label, LabelFinder, label_finder, labels_of, trade_words
from fightnotes.language.names import NameIndex, name_index
from fightnotes.language.sounds import alike, sounds_of
from fightnotes.language.words import stem, words_of
from fightnotes.model import Fighter, Vocabulary, fold

Words = tuple[str, ...]


@dataclass(frozen=True)
class Form:
    """Words that may have been said."""

    text: str
    """As they are to be written."""
    fighter: str = ""
    """Whose name it is; empty for a label."""
    label: Label | None = None
    surname: bool = False

    @cached_property
    def words(self) -> Words:
        return folded_words(self.text)

    @cached_property
    def letters(self) -> str:
        return letters_of(self.words)

    @cached_property
    def sounds(self) -> str:
        return sounds_of_words(self.words)


@dataclass(frozen=True)
class KnownWords:
    """`known_words` makes it, once for a bout."""

    forms: tuple[Form, ...]
    """Names before labels."""
    listed: dict[Words, Form]
    """Folded words of a mishearing that the front matter or the vocabulary lists -> what is meant by it."""
    names: NameIndex
    labels: LabelFinder
    """Neither of the two finds a mishearing."""
    own: frozenset[str]
    """Stems of the words of names, labels, definitions and scope notes."""


def known_words(fighters: Iterable[Fighter], vocabulary: Vocabulary) -> KnownWords:
    """`fighters` are those of a bout, as `Bout.fighters` has them with what `library.yaml` says of the same people."""
    people = tuple(fighters)
    labels = [label for label in (*labels_of(vocabulary), *trade_words(vocabulary)) if label.role != "hidden"]
    forms = [form for fighter in people for form in _name_forms(fighter)]
    forms += [Form(label.text, label=label) for label in labels if label.role != "id"]
    texts = [form.text for form in forms]
    texts += [f"{concept.definition} {concept.scope}" for concept in vocabulary.concepts]
    return KnownWords(
        forms=tuple(form for form in forms if form.sounds),
        listed=_listed(people, vocabulary, forms),
        names=name_index(people, misheard=False),
        labels=label_finder(labels),
        own=frozenset(stem(word.text) for text in texts for word in words_of(text)),
    )


def folded_words(text: str) -> Words:
    return tuple(fold(word.text).replace("’", "'") for word in words_of(text))


def is_latin(word: str) -> bool:
    """Whether it is written in letters that the sounds are told from."""
    return unicodedata.name(word[:1], "").startswith("LATIN")


def letters_of(words: Iterable[str]) -> str:
    return "".join(char for word in words for char in word if char.isalnum())


def sounds_of_words(words: Iterable[str]) -> str:
    """One behind the other; a sound that ends a word and begins the next is heard once."""
    return "".join(sound for sound, _ in groupby("".join(map(sounds_of, words))))


def _name_forms(fighter: Fighter) -> Iterator[Form]:
    """The surname first, then every other word of a name that is no particle."""
    written = [word for form in (fighter.name or fighter.id, *fighter.also) for word in form.split()]
    surname = fighter.name.split()[-1] if fighter.name.split() else fighter.id
    written = [surname, *written]
    seen: set[str] = set()
    for text in [word for word in written if is_latin(word)] or written:
        if (folded := fold(text)) not in seen and folded not in spoken.NAME_PARTICLES and len(folded) > 1:
            seen.add(folded)
            yield Form(text, fighter=fighter.id, surname=text == surname)


def _listed(people: Iterable[Fighter], vocabulary: Vocabulary, forms: Iterable[Form]) -> dict[Words, Form]:
    """Of a form that two list a name is meant, and of two names or labels the first."""
    by_fighter: dict[str, list[Form]] = defaultdict(list)
    by_concept: dict[str, list[Form]] = defaultdict(list)
    by_say: dict[str, list[Form]] = {}
    for form in forms:
        if form.label is None:
            by_fighter[form.fighter].append(form)
        elif form.label.concept:
            by_concept[form.label.concept].append(form)
        else:
            by_say[form.text] = [form]
    lists = [
        *((fighter.misheard, by_fighter[fighter.id]) for fighter in people),
        *((concept.misheard, by_concept[concept.id]) for concept in vocabulary.concepts),
        *((term.misheard, by_say[term.say]) for term in vocabulary.terms),
    ]
    found: dict[Words, Form] = {}
    for texts, meant in lists:
        for words in filter(None, map(folded_words, texts)):
            found.setdefault(words, max(meant, key=lambda form: alike(sounds_of_words(words), form.sounds)))
    return found
