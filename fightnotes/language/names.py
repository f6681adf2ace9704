"""Fighters' names in running text: written forms, and what a speech recogniser makes of them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property, lru_cache

from fightnotes.language import spoken
from fightnotes.language.words import folded, is_content, words_of, written_words
from fightnotes.model import Fighter, fold


@dataclass(frozen=True)
class NamePlace:
    """A fighter named in a text."""

    fighter: str
    begin: int
    stop: int


@dataclass(frozen=True)
class NameIndex:
    """Folded words of each form -> the fighters who have it."""

    forms: dict[tuple[str, ...], tuple[str, ...]]
    longest: int

    @cached_property
    def first_words(self) -> frozenset[str]:
        return frozenset(form[0] for form in self.forms)


def name_index(fighters: Iterable[Fighter], *, misheard: bool) -> NameIndex:
    """Every form of the fighters; a form of function words alone is left out, as it would be found everywhere."""
    forms: dict[tuple[str, ...], dict[str, None]] = {}
    for fighter in fighters:
        for form in (fighter.id, fighter.name, *fighter.also, *(fighter.misheard if misheard else ())):
            words = tuple(fold(word.text) for word in words_of(form))
            if words and any(is_content(word) for word in words) and not _initial(words):
                forms.setdefault(words, {})[fighter.id] = None
    return NameIndex(
        {form: tuple(people) for form, people in forms.items()}, max((len(form) for form in forms), default=0)
    )


def find_names(text: str, index: NameIndex) -> list[NamePlace]:
    """Names in order of place, the longest form first; a form that two fighters share names both."""
    forms = list(map(_form, written_words(text)))
    if index.first_words.isdisjoint(forms):
        return []  # as in most texts of a large library, and quicker
    words = words_of(text)
    places: list[NamePlace] = []
    position = 0
    while position < len(words):
        lengths = range(min(index.longest, len(words) - position), 0, -1)
        length = next((each for each in lengths if tuple(forms[position : position + each]) in index.forms), 0)
        if length:
            people = index.forms[tuple(forms[position : position + length])]
            stop = words[position + length - 1].stop
            places.extend(NamePlace(fighter, words[position].begin, stop) for fighter in people)
        position += length or 1
    return places


@lru_cache(maxsize=65536)
def _form(word: str) -> str:
    form = folded(word)
    return form[:-2] if form.endswith(spoken.POSSESSIVE) else form


def _initial(words: tuple[str, ...]) -> bool:
    """A single letter stands for a fighter in one bout only, never in a query over all of them."""
    return len(words) == 1 and len(words[0]) < 2
