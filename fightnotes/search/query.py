"""What a person typed, read as data: phrases, content words, fighters, concepts, and what is denied."""

from __future__ import annotations

import re
from collections.abc import Iterable

from fightnotes.language import spoken
from fightnotes.language.labels import LabelFinder, find_labels, label_finder, labels_of
from fightnotes.language.names import NameIndex, NamePlace, find_names
from fightnotes.language.negation import negated_spans
from fightnotes.language.roles import Role, roles_of
from fightnotes.language.words import content_stems, is_content, lies_in, words_of
from fightnotes.model import LabelRole, Record, Vocabulary

MOST_WORDS = 48
"""Content words of a query that are looked up; the encoder has a limit of its own."""
_QUOTE = '"“”„'
_QUOTED = re.compile(f"[{_QUOTE}]([^{_QUOTE}]*)[{_QUOTE}]")


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
    """As typed."""
    meaning: str
    """What the encoder reads: the query without the fighters' names."""
    phrases: tuple[str, ...] = ()
    """Quoted by the person: every hit must hold their words one behind the other, compared by stem."""
    words: tuple[str, ...] = ()
    """Content words, without names, each once."""
    names: tuple[NameSought, ...] = ()
    concepts: tuple[ConceptSought, ...] = ()
    affirmed: frozenset[str] = frozenset()
    """Stems of the content words that the query does not deny."""
    denies: bool = False
    """Whether anything in it is denied."""


def read_query(text: str, names: NameIndex, labels: LabelFinder) -> Query:
    """Never refuses: operators, quotes that do not close, emoji and very long texts are read as the words they hold."""
    quoted = quoted_spans(text)
    named = [place for place in find_names(text, names) if not lies_in(quoted, place.begin)]
    bare = _without(text, named)
    words = words_of(bare)
    content = [word.text.casefold() for word in words if is_content(word.text)]
    denied = negated_spans(bare)
    denied_stems = {stem for span in denied for stem in content_stems(bare[span.begin : span.stop])}
    return Query(
        text=text,
        meaning=" ".join(re.sub(f"[{_QUOTE}]", " ", bare).split()),
        phrases=tuple(match[1].strip() for match in _QUOTED.finditer(text) if words_of(match[1])),
        words=tuple(dict.fromkeys(content))[:MOST_WORDS],
        names=tuple(
            NameSought(fighter=place.fighter, written=text[place.begin : place.stop], role=role)
            for place, role in zip(named, roles_of(named, text), strict=True)
        ),
        concepts=_concepts(bare, labels),
        affirmed=frozenset(content_stems(bare)) - denied_stems,
        denies=bool(denied),
    )


def quoted_spans(text: str) -> list[tuple[int, int]]:
    """Begin and stop of each part in double quotes that close, quotes included."""
    return [match.span() for match in _QUOTED.finditer(text)]


def query_labels(vocabulary: Vocabulary) -> LabelFinder:
    """Every label, misheard ones and ids too. A query is written in haste and leaves function words
    out: "baiting open guard" says "baiting with an open guard"."""
    return label_finder(labels_of(vocabulary), spoken.FUNCTION_WORDS)


def _concepts(text: str, labels: LabelFinder) -> tuple[ConceptSought, ...]:
    """The concepts with a label in the text, longest labels first."""
    found = sorted(find_labels(text, labels), key=lambda one: one.begin - one.stop)
    return tuple(
        dict.fromkeys(
            ConceptSought(concept=one.label.concept, label=one.label.text, role=one.label.role) for one in found
        )
    )


def _without(text: str, places: Iterable[NamePlace]) -> str:
    """The text without the names; the whole text where nothing else is in it."""
    kept, position = [], 0
    for begin, stop in sorted({(place.begin, place.stop) for place in places}):
        kept.append(text[position:begin])
        position = stop
    kept.append(text[position:])
    bare = " ".join(kept)
    return bare if words_of(bare) else text
