"""What a text says was done, word by word, and which labels of the vocabulary it speaks."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property, lru_cache
from typing import NamedTuple

from fightnotes.language.negation import Sense, undone_spans
from fightnotes.language.words import content_stems, is_content, stem, words_of, written_words
from fightnotes.model import LabelRole, Vocabulary


@dataclass(frozen=True)
class LabelFound:
    concept: str
    begin: int
    stop: int
    """Its words in the text, counted from 0."""
    role: LabelRole
    sense: Sense | None
    """Why it does not count as done; None where it does."""


@dataclass(frozen=True)
class Said:
    done: tuple[str, ...]
    """Stems of the content words that no negation or report covers; a misheard label counts as the label."""
    done_words: tuple[str, ...]
    """The same as they stand in the text, one for each of `done`; empty where a mishearing stands."""
    undone: tuple[str, ...]
    """Stems of the content words that one covers."""
    labels: tuple[LabelFound, ...]


@dataclass(frozen=True)
class LabelForms:
    """The labels of a vocabulary, ready to be found."""

    vocabulary: Vocabulary

    @cached_property
    def forms(self) -> dict[tuple[str, ...], tuple[str, LabelRole]]:
        """Stems of a label in order -> its concept and role; of two labels alike, the one that is no mishearing."""
        found: dict[tuple[str, ...], tuple[str, LabelRole]] = {}
        for hidden in (False, True):
            for concept in self.vocabulary.concepts:
                for label, role in concept.labels():
                    words = words_of(label)
                    if (role == "hidden") is hidden and any(is_content(word.text) for word in words):
                        found.setdefault(tuple(word.stem for word in words), (concept.id, role))
        return found

    @cached_property
    def longest(self) -> dict[str, int]:
        """The most words that a label has which begins with a stem."""
        lengths: dict[str, int] = {}
        for form in self.forms:
            lengths[form[0]] = max(len(form), lengths.get(form[0], 0))
        return lengths

    @cached_property
    def repairs(self) -> dict[str, list[_Heard]]:
        """Stems of each concept's preferred label, for where a mishearing of it stands; its words are not there."""
        return {
            concept.id: [_Heard(one, "", True) for one in content_stems(concept.label)]
            for concept in self.vocabulary.concepts
        }


def said_in(text: str, forms: LabelForms) -> Said:
    """Labels are found longest first and do not overlap: a double jab is not a jab beside it."""
    words = [_heard(word) for word in written_words(text)]
    found = _labels_in([word.stem for word in words], forms)
    senses = _senses(text, len(words))
    done: list[_Heard] = []
    undone: list[_Heard] = []
    labels: list[LabelFound] = []
    position = 0
    while position < len(words):
        label, sense = found.get(position), senses[position]
        stop = position + label.length if label else position + 1
        heard = [word for word in words[position:stop] if word.content]
        if label:
            labels.append(LabelFound(label.concept, position, stop, label.role, sense))
            heard = forms.repairs[label.concept] if label.role == "hidden" else heard
        (undone if sense else done).extend(heard)
        position = stop
    return Said(
        tuple([word.stem for word in done]),
        tuple([word.written for word in done]),
        tuple([word.stem for word in undone]),
        tuple(labels),
    )


class _Heard(NamedTuple):
    stem: str
    written: str
    content: bool


@lru_cache(maxsize=65536)
def _heard(word: str) -> _Heard:
    return _Heard(stem(word), word, is_content(word))


@dataclass(frozen=True)
class _Label:
    length: int
    """Words."""
    concept: str
    role: LabelRole


def _labels_in(stems: list[str], forms: LabelForms) -> dict[int, _Label]:
    """By the position of their first word."""
    found: dict[int, _Label] = {}
    free = 0
    for position, first in enumerate(stems):
        if position < free or first not in forms.longest:
            continue
        for length in range(min(forms.longest[first], len(stems) - position), 0, -1):
            hit = forms.forms.get(tuple(stems[position : position + length]))
            if hit:
                found[position] = _Label(length, *hit)
                free = position + length
                break
    return found


def _senses(text: str, count: int) -> list[Sense | None]:
    """For each word the sense of the first span that covers it."""
    senses: list[Sense | None] = [None] * count
    spans = undone_spans(text)
    if spans:
        for position, word in enumerate(words_of(text)):
            covering = (span.sense for span in spans if span.begin <= word.begin < span.stop)
            senses[position] = next(covering, None)
    return senses


def as_it_stands(text: str, label: LabelFound) -> str:
    """The words of a label in the text that it was found in."""
    words = words_of(text)
    return text[words[label.begin].begin : words[label.stop - 1].stop]
