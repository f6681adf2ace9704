"""Tags that stand in the notes and name no concept, the spellings of one name together.

Two tags are one name where their stems, written without blanks, are the same (#calf-kick, #calfkick, #Calf_Kicks), or
where one slip tells the rarer from the other: Damerau-Levenshtein distance 1. A slip leaves the first letter and all
digits as they are, and makes a word that the notes do not say otherwise.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from rapidfuzz.distance import DamerauLevenshtein

from fightnotes.language.labels import Label
from fightnotes.language.words import stems_of
from fightnotes.model import Segment, fold

_SHORTEST = 5
"""Letters that both names have where a slip tells them apart: shorter ones lie too near (set by hand)."""


@dataclass(frozen=True)
class TypedTag:
    words: str
    """The spelling met most often, folded."""
    variants: tuple[str, ...]
    """The other spellings, folded, the commonest first."""
    segments: tuple[int, ...]
    """One number for each tag, so that a moment that bears two has its number twice."""
    label: Label | None
    """The label of the vocabulary that it is in another spelling."""


def typed_tags(segments: Mapping[int, Segment], said: Mapping[str, int], labels: Iterable[Label]) -> list[TypedTag]:
    """The commonest first; `said` counts the stems of the notes' and transcripts' prose."""
    forms: dict[str, Counter[str]] = defaultdict(Counter)
    places: dict[str, list[int]] = defaultdict(list)
    for number, segment in segments.items():
        for tag in segment.tags:
            if tag.concept is None:
                forms[spelling_key(tag.written)][fold(tag.written)] += 1
                places[spelling_key(tag.written)].append(number)
    if not places:
        return []
    of_key: dict[str, Label] = {}
    for label in labels:
        of_key.setdefault(spelling_key(label.text), label)
    groups: dict[str, list[str]] = {}
    slips = _Slips(of_key)
    for key in sorted(places, key=lambda key: (-len(places[key]), key)):
        odd = any(said.get(stem, 0) <= len(places[key]) for stem in stems_of(_commonest(forms[key])))
        meant = key if key in of_key else slips.nearest(key) if odd else None
        groups.setdefault(meant or key, []).append(key)
        if meant is None:
            slips.add(key)
    return sorted(
        (_together(keys, forms, places, of_key.get(meant)) for meant, keys in groups.items()),
        key=lambda tag: (-len(tag.segments), tag.words),
    )


def spelling_key(name: str) -> str:
    """The same for all spellings of a name that differ in blanks and endings; a script whose vowels are marks on the
    letters has no stems here."""
    blankless = fold(name).replace(" ", "")
    return "".join(stems_of(name)) if blankless.isalnum() else blankless


class _Slips:
    """Names to be found by what one slip makes of them: two that lie one slip apart share a key of `_bare`."""

    def __init__(self, names: Iterable[str]) -> None:
        self._found: dict[str, list[str]] = defaultdict(list)
        for name in names:
            self.add(name)

    def add(self, name: str) -> None:
        for bare in _bare(name):
            self._found[bare].append(name)

    def nearest(self, name: str) -> str | None:
        """The first that was added of those one slip away."""
        near = (other for bare in _bare(name) for other in self._found.get(bare, ()))
        return next((other for other in near if _one_slip(name, other)), None)


def _bare(name: str) -> Iterator[str]:
    if len(name) >= _SHORTEST:
        yield name
        yield from (name[:index] + name[index + 1 :] for index in range(1, len(name)))


def _one_slip(one: str, other: str) -> bool:
    same_digits = [char for char in one if char.isdigit()] == [char for char in other if char.isdigit()]
    return one[0] == other[0] and same_digits and DamerauLevenshtein.distance(one, other, score_cutoff=1) <= 1


def _commonest(forms: Counter[str]) -> str:
    """Of equally common ones that with the most words, then the shortest."""
    return min(forms, key=lambda form: (-forms[form], -form.count(" "), len(form), form))


def _together(
    keys: list[str], forms: Mapping[str, Counter[str]], places: Mapping[str, list[int]], label: Label | None
) -> TypedTag:
    words = _commonest(forms[keys[0]])
    spellings = Counter({form: count for key in keys for form, count in forms[key].items()})
    others = sorted(spellings.keys() - {words}, key=lambda form: (-spellings[form], form))
    return TypedTag(words, tuple(others), tuple(sorted(number for key in keys for number in places[key])), label)
