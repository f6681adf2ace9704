"""What may be meant in a talk: the names of a bout's fighters, and the labels and trade words of a vocabulary."""

from __future__ import annotations

import unicodedata
from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import groupby

from fightnotes.language import in_notes
from fightnotes.language.labels import Label, LabelFinder, label_finder, labels_of, trade_words
from fightnotes.language.names import NameIndex, name_index
from fightnotes.language.sounds import alike, sounds_of
from fightnotes.language.words import stems_of, words_of
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

    label_forms: tuple[Form, ...]
    listed: dict[Words, Form]
    """Folded words of a mishearing that the front matter or the vocabulary lists -> what is meant by it."""
    labels: LabelFinder
    """Mishearings left out."""
    labelled: frozenset[str]
    """Stems of the words of labels."""
    written: frozenset[str]
    """The same with those of definitions and scope notes."""
    names: NameIndex
    """Mishearings left out."""
    name_forms: tuple[Form, ...]

    def with_fighters(self, fighters: Iterable[Fighter]) -> KnownWords:
        """The same vocabulary with the names of others; of a form that a name and a label list the name is meant."""
        people = tuple(fighters)
        forms = {fighter.id: list(_name_forms(fighter)) for fighter in people}
        mine = _listed((fighter.misheard, forms[fighter.id]) for fighter in people)
        return replace(
            self,
            listed={**{words: form for words, form in self.listed.items() if not form.fighter}, **mine},
            names=name_index(people, misheard=False),
            name_forms=tuple(form for own in forms.values() for form in own if form.sounds),
        )


def known_words(fighters: Iterable[Fighter], vocabulary: Vocabulary) -> KnownWords:
    """`fighters` are those of a bout, as `Bout.fighters` has them with what `library.yaml` says of the same people.

    For many bouts make it once with no fighters, and then `with_fighters` for each.
    """
    labels = [label for label in (*labels_of(vocabulary), *trade_words(vocabulary)) if label.role != "hidden"]
    labelled = frozenset(stem for label in labels for stem in stems_of(label.text))
    forms = [Form(label.text, label=label) for label in labels if label.role != "id"]
    words = KnownWords(
        names=name_index((), misheard=False),
        name_forms=(),
        label_forms=tuple(form for form in forms if form.sounds),
        listed=_listed_labels(vocabulary, forms),
        labels=label_finder(labels),
        labelled=labelled,
        written=labelled.union(
            stem for concept in vocabulary.concepts for stem in stems_of(f"{concept.definition} {concept.scope}")
        ),
    )
    return words.with_fighters(fighters)


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
        if (folded := fold(text)) not in seen and folded not in in_notes.NAME_PARTICLES and len(folded) > 1:
            seen.add(folded)
            yield Form(text, fighter=fighter.id, surname=text == surname)


def _listed_labels(vocabulary: Vocabulary, forms: Iterable[Form]) -> dict[Words, Form]:
    """Of a form that two labels list the first is meant."""
    by_home: dict[str, list[Form]] = defaultdict(list)
    for form in forms:
        if form.label:
            by_home[form.label.concept or f"say {form.text}"].append(form)
    lists = [
        *((concept.misheard, by_home[concept.id]) for concept in vocabulary.concepts),
        *((term.misheard, by_home[f"say {term.say}"]) for term in vocabulary.terms),
    ]
    return _listed(lists)


def _listed(lists: Iterable[tuple[Iterable[str], list[Form]]]) -> dict[Words, Form]:
    """Each of the texts, with the nearest in sound of the forms that stand beside it."""
    found: dict[Words, Form] = {}
    for texts, meant in lists:
        for words in filter(None, map(folded_words, texts)):
            found.setdefault(words, max(meant, key=lambda form: alike(sounds_of_words(words), form.sounds)))
    return found
