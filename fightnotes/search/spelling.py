"""Strange words of a query, which no note says and the model does not know: misspelt ones are mended."""

from __future__ import annotations

from collections.abc import Iterable

from rapidfuzz import process
from rapidfuzz.distance import OSA

from fightnotes.index.store import Store
from fightnotes.language.names import NameIndex
from fightnotes.language.words import Word, is_content, stem, words_of
from fightnotes.model import Record, fold
from fightnotes.search.words import every_stem, holders

SHORTEST = 4
"""Letters that a word must have to be mended."""
NEAR_ENOUGH = 0.79
"""Similarity, 1 minus the optimal string alignment distance over the longer length: one slip in five letters."""


class Mended(Record):
    text: str
    changes: tuple[tuple[str, str], ...] = ()
    """Each word as written and as it is read."""
    says_nothing: bool = False
    """Whether it holds no word that a note says or the model knows."""


def mend(text: str, quoted: Iterable[tuple[int, int]], store: Store, names: NameIndex) -> Mended:
    """The query with its misspelt words mended; words between two offsets in `quoted` stand as they are."""
    strange = [
        word
        for word in words_of(text)
        if _may_be_misspelt(word, store, names) and not any(begin <= word.begin < stop for begin, stop in quoted)
    ]
    if not strange:
        return Mended(text=text, says_nothing=not words_of(text))
    known = [*every_stem(store), *(form[0] for form in names.forms if len(form) == 1)]
    changes, pieces, position = [], [], 0
    for word in strange:
        near = process.extractOne(
            fold(word.text), known, scorer=OSA.normalized_similarity, score_cutoff=NEAR_ENOUGH, processor=None
        )
        if near:
            pieces.append(text[position : word.begin] + near[0])
            position = word.stop
            changes.append((word.text, near[0]))
    others = {word.begin for word in words_of(text) if is_content(word.text)} - {word.begin for word in strange}
    return Mended(
        text="".join(pieces) + text[position:], changes=tuple(changes), says_nothing=not others and not changes
    )


def _may_be_misspelt(word: Word, store: Store, names: NameIndex) -> bool:
    folded = fold(word.text)
    return (
        len(folded) >= SHORTEST
        and folded.isalpha()
        and is_content(word.text)
        and (folded,) not in names.forms
        and not holders(stem(word.text), store)
        and not store.encoder.knows(folded)
    )
