"""The words of notes and labels as the rules compare them."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from fightnotes.language.names import find_names, name_index
from fightnotes.language.negation import undone_spans
from fightnotes.language.words import Word, is_content, stems_of, words_of
from fightnotes.model import Bout, Concept, Segment, fold

_COMING = re.compile(r"\s+coming\b", re.IGNORECASE)
_SMALL = frozenset({"a", "an", "the", "his", "her", "their", "its"})
_BREAK = re.compile(r"[.;:!?,\n()—–]")


@dataclass(frozen=True)
class Mention:
    """A label found in a text."""

    label: str
    begin: int
    stop: int


def label_words(concept: Concept) -> list[tuple[str, tuple[str, ...]]]:
    """Preferred and alternative labels with the stems of all their words."""
    return [(label, stems_of(label)) for label in (concept.label, *concept.also)]


def content_count(label: str) -> int:
    return sum(is_content(word.text) for word in words_of(label))


def mentions(text: str, words: Sequence[Word], wanted: Sequence[tuple[str, tuple[str, ...]]]) -> list[Mention]:
    """Labels whose words stand in the text one behind the other, in whatever inflection, with no stop between them
    and nothing else but an article or a possessive."""
    found: list[Mention] = []
    spoken = [word.stem for word in words]
    there = set(spoken)
    for label, label_stems in wanted:
        if not label_stems or not there.issuperset(label_stems):
            continue
        for index in (index for index, stem in enumerate(spoken) if stem == label_stems[0]):
            last = _end_of(words, index, label_stems)
            if last is not None and not _BREAK.search(text, words[index].begin, words[last].stop):
                found.append(Mention(label, words[index].begin, words[last].stop))
    return found


def _end_of(words: Sequence[Word], index: int, wanted: tuple[str, ...]) -> int | None:
    """Index of the word with which `wanted`, beginning at `index`, ends; None where it does not stand there."""
    last = None
    for position, stem in enumerate(wanted):
        while position and index < len(words) and words[index].stem != stem and fold(words[index].text) in _SMALL:
            index += 1
        if index >= len(words) or words[index].stem != stem:
            return None
        last, index = index, index + 1
    return last


def is_undone(text: str, begin: int, stop: int) -> bool:
    """Whether the words between two offsets stand in what the text denies, expects or only means."""
    if _COMING.match(text, stop):
        return True
    return any(span.begin < stop and begin < span.stop for span in undone_spans(text))


def said_stems(note: Segment, bout: Bout) -> frozenset[str]:
    """Stems of the content words that a note asserts, the fighters' names left out."""
    hidden = [(span.begin, span.stop) for span in undone_spans(note.text)]
    hidden += [(place.begin, place.stop) for place in find_names(note.text, name_index(bout.fighters, misheard=True))]
    return frozenset(
        word.stem
        for word in words_of(note.text)
        if is_content(word.text) and not any(begin <= word.begin < stop for begin, stop in hidden)
    )
