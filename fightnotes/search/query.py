"""What a person typed, read as data: phrases, content words, fighters, concepts, and what is negated."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import Literal

from fightnotes.language.names import NameIndex, NamePlace, find_names
from fightnotes.language.negation import negated_spans
from fightnotes.language.words import content_stems, is_content, stems_within, words_of
from fightnotes.model import LabelRole, Record, Vocabulary

MOST_WORDS = 48
"""Content words of a query that are looked up; the encoder has a limit of its own."""
_QUOTED = re.compile(r'["“”„]([^"“”„]*)["“”„]')
_DIRECTED_AT = frozenset(["on", "against", "at", "versus", "vs"])

Role = Literal["acts", "is acted on"]


class NameSought(Record):
    fighter: str
    written: str
    role: Role


class ConceptSought(Record):
    concept: str
    label: str
    """The label that the query says."""
    role: LabelRole


class Query(Record):
    text: str
    meaning: str
    """What the encoder reads: the query without the fighters' names."""
    phrases: tuple[str, ...] = ()
    """Quoted by the person: every hit must hold them, word by word."""
    words: tuple[str, ...] = ()
    """Content words, folded by the index and not here, without names; each once."""
    names: tuple[NameSought, ...] = ()
    concepts: tuple[ConceptSought, ...] = ()
    affirmed: frozenset[str] = frozenset()
    """Stems of content words that the query asserts."""
    negated: frozenset[str] = frozenset()
    """Stems of content words that the query denies."""
    denies: bool = False
    """Whether anything in it is negated."""


def read_query(text: str, names: NameIndex, vocabulary: Vocabulary) -> Query:
    """Never refuses: operators, quotes that do not close, emoji and very long texts are read as the words they hold."""
    quoted = quoted_spans(text)
    named = [place for place in find_names(text, names) if not any(b <= place.begin < s for b, s in quoted)]
    phrases = tuple(match[1].strip() for match in _QUOTED.finditer(text) if words_of(match[1]))
    bare = _without(text, named)
    words = [word.text for word in words_of(bare) if is_content(word.text)]
    spans = negated_spans(bare)
    all_words = words_of(bare)
    negated = {stem for span in spans for stem in stems_within(all_words, span.begin, span.stop)}
    return Query(
        text=text,
        meaning=" ".join(bare.replace('"', " ").split()),
        phrases=phrases,
        words=tuple(dict.fromkeys(word.casefold() for word in words))[:MOST_WORDS],
        names=tuple(_sought(text, place) for place in named),
        concepts=tuple(find_concepts(bare, vocabulary)),
        affirmed=frozenset(content_stems(bare)) - negated,
        negated=frozenset(negated),
        denies=bool(spans),
    )


def quoted_spans(text: str) -> list[tuple[int, int]]:
    """Begin and stop of each part in double quotes that close, quotes included."""
    return [match.span() for match in _QUOTED.finditer(text)]


def find_concepts(text: str, vocabulary: Vocabulary) -> Iterable[ConceptSought]:
    """Concepts with a label whose content words stand together in the text, longest labels first.

    Words are compared by stem and function words are passed over, so that "baiting with open guard"
    holds the label "baiting with an open guard".
    """
    stems = content_stems(text)
    used: set[int] = set()
    for label_stems, concept, label, role in _labels_by_length(vocabulary):
        for begin in range(len(stems) - len(label_stems) + 1):
            place = range(begin, begin + len(label_stems))
            if tuple(stems[begin : begin + len(label_stems)]) == label_stems and not used & set(place):
                used |= set(place)
                yield ConceptSought(concept=concept, label=label, role=role)
                break


def _labels_by_length(vocabulary: Vocabulary) -> list[tuple[tuple[str, ...], str, str, LabelRole]]:
    labels: dict[tuple[str, ...], tuple[tuple[str, ...], str, str, LabelRole]] = {}
    for concept in vocabulary.concepts:
        for label, role in concept.labels():
            stems = tuple(content_stems(label))
            if stems:
                labels.setdefault(stems, (stems, concept.id, label, role))
    return sorted(labels.values(), key=lambda found: len(found[0]), reverse=True)


def _sought(text: str, place: NamePlace) -> NameSought:
    before = words_of(text[: place.begin])
    directed = bool(before) and before[-1].text.casefold() in _DIRECTED_AT
    written = text[place.begin : place.stop]
    return NameSought(fighter=place.fighter, written=written, role="is acted on" if directed else "acts")


def _without(text: str, places: Iterable[NamePlace]) -> str:
    kept, position = [], 0
    for begin, stop in sorted({(place.begin, place.stop) for place in places}):
        kept.append(text[position:begin])
        position = stop
    kept.append(text[position:])
    bare = " ".join(kept)
    return bare if words_of(bare) else text
