"""What a text says was done, word by word, and which labels of the vocabulary it speaks."""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass
from functools import cached_property, lru_cache

from fightnotes.language.negation import Sense, Span, undone_spans
from fightnotes.language.words import Word, is_content, words_of
from fightnotes.model import LabelRole, Segment, Vocabulary


@dataclass(frozen=True)
class LabelFound:
    concept: str
    words: str
    """As they stand in the text."""
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
    def repairs(self) -> dict[str, list[tuple[str, str]]]:
        """Stems of each concept's preferred label, for where a mishearing of it stands; its words are not there."""
        return {
            concept.id: [(stem, "") for stem, _ in _content(words_of(concept.label))]
            for concept in self.vocabulary.concepts
        }


def said_in(segment: Segment, forms: LabelForms) -> Said:
    """Labels are found longest first and do not overlap: a double jab is not a jab beside it."""
    words = words_of(segment.text)
    stems = [word.stem for word in words]
    spans = undone_spans(segment.text)
    starts = [span.begin for span in spans]
    done: list[tuple[str, str]] = []
    undone: list[tuple[str, str]] = []
    labels: list[LabelFound] = []
    position = 0
    while position < len(words):
        length, concept, role = _label_at(stems, position, forms)
        stretch = words[position : position + max(length, 1)]
        span = _covering(stretch[0], spans, starts) if spans else None
        if concept is not None:
            there = segment.text[stretch[0].begin : stretch[-1].stop]
            labels.append(LabelFound(concept, there, role, span.sense if span else None))
        heard = forms.repairs[concept] if concept is not None and role == "hidden" else _content(stretch)
        (undone if span else done).extend(heard)
        position += len(stretch)
    stems_done, words_done = zip(*done, strict=True) if done else ((), ())
    return Said(stems_done, words_done, tuple(stem for stem, _ in undone), tuple(labels))


def _label_at(stems: list[str], position: int, forms: LabelForms) -> tuple[int, str | None, LabelRole]:
    longest = forms.longest.get(stems[position], 0)
    for length in range(min(longest, len(stems) - position), 0, -1):
        hit = forms.forms.get(tuple(stems[position : position + length]))
        if hit:
            return length, *hit
    return 0, None, "preferred"


def _content(words: list[Word]) -> list[tuple[str, str]]:
    """Stem and word of each content word."""
    return [(word.stem, word.text) for word in words if _says_something(word.text)]


@lru_cache(maxsize=65536)
def _says_something(word: str) -> bool:
    return is_content(word)


def _covering(word: Word, spans: list[Span], starts: list[int]) -> Span | None:
    reached = spans[: bisect_right(starts, word.begin)]
    return next((span for span in reached if word.begin < span.stop), None)
