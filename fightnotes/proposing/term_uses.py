"""Multi-word terms that no label covers, with their places: what the vocabulary might take in.

A term is a run of words as `language.term_extraction` finds it, inflected forms taken together by their stems.
Out are terms that run into a name or share part of a label, those that hold what an action led to, and those that
say no more than which limb and which way.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass

from fightnotes.language import in_notes, spoken
from fightnotes.language.labels import Stems, find_labels
from fightnotes.language.negation import undone_spans
from fightnotes.language.term_extraction import c_values, placed_candidates
from fightnotes.language.words import stem, words_of
from fightnotes.model import fold
from fightnotes.proposing.known_forms import KnownForms, crosses
from fightnotes.proposing.misheard_forms import Use

SIDES = frozenset(map(stem, in_notes.SIDES))
_LIMB_OR_WAY = SIDES.union(map(stem, (*in_notes.PARTS, *in_notes.WAYS)))
_EMPTY_VERBS = frozenset(map(stem, spoken.EMPTY_VERBS))
_SPANS_OF_TIME = frozenset(map(stem, spoken.SPANS_OF_TIME))


@dataclass(frozen=True)
class TermUses:
    stems: Stems
    text: str
    """The form that is met most often, folded."""
    c_value: float
    uses: tuple[Use, ...]

    @property
    def segments(self) -> list[int]:
        return sorted({use.segment for use in self.uses})


def term_uses(texts: Mapping[int, str], known: KnownForms, outcomes: Collection[str]) -> list[TermUses]:
    """Every candidate with its C-value, the highest first; `texts` are as `without_names` makes them."""
    forms: dict[Stems, Counter[str]] = defaultdict(Counter)
    places: dict[Stems, list[Use]] = defaultdict(list)
    breaks = _outcome_words(texts.values(), outcomes)
    for number, text in texts.items():
        for begin, stop, words in _uncovered(text, known, breaks):
            stems = tuple(map(stem, words))
            forms[stems][" ".join(words)] += 1
            places[stems].append(Use(number, begin, stop))
    values = c_values({stems: len(uses) for stems, uses in places.items()})
    found = [
        TermUses(stems, min(forms[stems], key=lambda form: (-forms[stems][form], form)), value, tuple(places[stems]))
        for stems, value in values.items()
        if _names_something(stems)
    ]
    return sorted(found, key=lambda term: (-term.c_value, term.text))


def _uncovered(text: str, known: KnownForms, breaks: Collection[str]) -> Iterator[tuple[int, int, Stems]]:
    """Candidates that share no part of a label, though they may hold it whole, nor of words such as "expected"."""
    labels = find_labels(text, known.labels)
    cues = [(span.begin, span.begin + len(span.cue)) for span in undone_spans(text)]
    for begin, stop, words in placed_candidates(text, breaks):
        if any(crosses(label, begin, stop) for label in labels):
            continue
        if not any(first < stop and begin < last for first, last in cues):
            yield begin, stop, words


def _outcome_words(texts: Collection[str], outcomes: Collection[str]) -> set[str]:
    """The outcomes and the forms in which they are told: lands, landing; not the bare noun, as in "body work"."""
    stems = {stem(outcome) for outcome in outcomes}
    words = {fold(word.text) for text in texts for word in words_of(text)}
    return {word for word in words if word in outcomes or (stem(word) in stems and word.endswith(spoken.INFLECTIONS))}


def _names_something(stems: Stems) -> bool:
    if stems[0] in _EMPTY_VERBS or stems[-1] in _SPANS_OF_TIME:
        return False
    return not spoken.STOP_WORDS.isdisjoint(stems) or not _LIMB_OR_WAY.issuperset(stems)
