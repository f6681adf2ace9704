"""Strange words of a query, which no note says and the model does not know: misspelt ones are mended."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable

from fightnotes.index.store import Store
from fightnotes.language.words import Word, is_content, lies_in, stem, words_of, written_words
from fightnotes.model import Record, fold
from fightnotes.search.once import once_per_store
from fightnotes.search.people import fighter_names
from fightnotes.search.query import MOST_WORDS, quoted_spans

SHORTEST = 4
"""Letters that a word must have to be mended."""
NEAR_ENOUGH = 0.79
"""Similarity, 1 minus the optimal string alignment distance over the longer length: one slip in five letters."""
_LONG = 6
"""Letters from which on a wrong letter is taken for a slip: in a shorter word it mostly makes another word."""


class Mended(Record):
    text: str
    changes: tuple[tuple[str, str], ...] = ()
    """Each word as written and as it is read."""
    strange: bool = False
    """Whether all that it says are strange words that no note helps to mend: gibberish, or rare words."""


def mend(text: str, store: Store) -> Mended:
    """The query with its misspelt words mended; those in quotes stand as they are."""
    words = words_of(text)
    strange = [word for word in words if _is_strange(word, store)]
    quoted = quoted_spans(text)
    loose = [word for word in strange if not lies_in(quoted, word.begin)]
    changes, pieces, position = [], [], 0
    for word in loose[:MOST_WORDS]:
        near = _nearest(fold(word.text), _known_words(store))
        if near:
            pieces.append(text[position : word.begin] + near)
            position = word.stop
            changes.append((word.text, near))
    telling = [word for word in words if is_content(word.text)] or words
    return Mended(
        text="".join(pieces) + text[position:],
        changes=tuple(changes),
        strange=not changes and len(telling) == len(strange),
    )


def _is_strange(word: Word, store: Store) -> bool:
    folded = fold(word.text)
    return (
        len(folded) >= SHORTEST
        and folded.isalpha()
        and is_content(word.text)
        and (folded,) not in fighter_names(store).forms
        and word.stem not in _label_stems(store)
        and not store.holders(word.stem)
        and not store.encoder.knows(folded)
        and not store.encoder.knows(word.stem)
    )


def _nearest(word: str, known: Iterable[str]) -> str | None:
    """The first letter of a misspelt word is taken to be right (common practice, no source)."""
    from rapidfuzz import process  # few queries have a strange word
    from rapidfuzz.distance import OSA

    similarity = OSA.normalized_similarity
    for near, _, _ in process.extract(word, known, scorer=similarity, score_cutoff=NEAR_ENOUGH, limit=None):
        other_letter = len(near) == len(word) and sorted(near) != sorted(word)
        if near[0] == word[0] and (len(word) >= _LONG or not other_letter):
            return near
    return None


@once_per_store
def _label_stems(store: Store) -> frozenset[str]:
    return frozenset(stem(word) for label in store.vocabulary.by_label for word in written_words(label))


@once_per_store
def _known_words(store: Store) -> tuple[str, ...]:
    """Folded words of the notes, of the vocabulary's labels and of the fighters' names, the commonest first."""
    counts: Counter[str] = Counter()
    for text, labels in store.every_text():
        counts.update(written_words(text))
        counts.update(written_words(labels))
    counts.update(word for label in store.vocabulary.by_label for word in written_words(label))
    counts.update(form[0] for form in fighter_names(store).forms if len(form) == 1)
    folded: Counter[str] = Counter()
    for word, count in counts.items():
        folded[fold(word)] += count
    return tuple(word for word, _ in folded.most_common() if len(word) >= SHORTEST and word.isalpha())
