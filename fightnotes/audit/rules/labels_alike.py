"""Labels of different concepts that look or sound the same.

Sounds are compared by Metaphone (Philips 1990) as the `jellyfish` package computes it.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from itertools import combinations

import jellyfish
from rapidfuzz.distance import DamerauLevenshtein

from fightnotes.audit.data import AuditData
from fightnotes.audit.rules.rule import Remark
from fightnotes.language.words import is_content, words_of
from fightnotes.model import Concept, fold

_SHORTEST = 6
"""Letters from which one of difference is a slip and not another word."""


def labels_alike(data: AuditData) -> Iterator[Remark]:
    """Every two concepts once; labels that are the same are a broken condition, and no matter of this rule."""
    owners: dict[str, dict[str, tuple[Concept, str]]] = defaultdict(dict)
    for concept in data.vocabulary.concepts:
        for label in dict.fromkeys((concept.label, *concept.also)):
            for key in _keys(label):
                owners[key].setdefault(concept.id, (concept, label))
    told: set[tuple[str, str]] = set()
    for sharing in owners.values():
        for (one, label), (other, its_label) in combinations(sharing.values(), 2):
            if (one.id, other.id) in told or fold(label) == fold(its_label) or not _alike(label, its_label):
                continue
            told.add((one.id, other.id))
            said = f"'{its_label}' of {other.id} and '{label}' of {one.id} look or sound the same: one concept or two?"
            yield Remark((data.place_of_concept(other), data.place_of_concept(one)), said, f"{one.id} {other.id}")


def _keys(label: str) -> set[str]:
    """Labels that may be alike share one: their sound, their stems in any order, or all letters but one."""
    folded = fold(label)
    keys = {f"sound {_sound(label)}", f"words {_words(label)}"}
    if len(folded) >= _SHORTEST:
        keys |= {f"letters {folded[:index]}{folded[index + 1 :]}" for index in range(len(folded))}
        keys.add(f"letters {folded}")
    return keys


def _alike(label: str, other: str) -> bool:
    one, two = fold(label), fold(other)
    if _words(label) == _words(other) and len(_words(label).split()) > 1:
        return True
    if min(len(one), len(two)) < _SHORTEST:
        return False
    return _sound(label) == _sound(other) or DamerauLevenshtein.distance(one, two, score_cutoff=1) <= 1


def _sound(label: str) -> str:
    return "".join(jellyfish.metaphone(fold(word.text)) for word in words_of(label))


def _words(label: str) -> str:
    """Stems of all words, in order of the alphabet: 'stepping outside' and 'outside step'; small words count, as
    they turn the meaning."""
    return " ".join(sorted(word.stem if is_content(word.text) else fold(word.text) for word in words_of(label)))
