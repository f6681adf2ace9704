"""The lexical side: BM25 over stemmed words and quoted phrases, as the store gives it, and shares of the query."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Sequence

from fightnotes.index.store import Store
from fightnotes.index.vector_file import Ids
from fightnotes.language import spoken
from fightnotes.language.labels import Label, find_labels, label_finder, label_stems, labels_of
from fightnotes.language.passages import Passage, passages_of
from fightnotes.language.words import stem, stems_of, words_of, written_words
from fightnotes.model import fold
from fightnotes.search.once import once_per_store
from fightnotes.search.query import Query

COMMON_SHARE = 0.25
"""A word in more than this share of all segments does not look them up, as long as a rarer one does."""


def word_scores(query: Query, store: Store, count: int, among: Ids | None) -> dict[int, float]:
    """For the best `count` segments by BM25, how well their words answer the query's, 0 to 1.

    The mean of two: the square of the share of the query's words that the text says, which keeps one chance word of a
    long query from counting for much; and BM25 over its maximum, which knows how often and in how long a text they are
    said, times the square of the best share, so that it counts for little where no text says much of the query. (BM25
    over its maximum alone gives the best text of a bad lot a full score; on normalising before a convex combination
    see Bruch, Gai and Ingber 2023.)
    """
    matches = word_matches(query, store, count, among)
    shares = _shares(query, store, dict.fromkeys((*matches, *_label_matches(query, store, count, among))))
    best = max(shares.values(), default=0.0) ** 2
    top = max(matches.values(), default=1.0)
    return {number: (share**2 + best * matches.get(number, 0.0) / top) / 2 for number, share in shares.items()}


def _shares(query: Query, store: Store, numbers: Iterable[int]) -> dict[int, float]:
    """The share of the query's words that each text says, or the best passage of a long one, by their weight.

    A word weighs its inverse document frequency, log(1 + (N - n + 0.5) / (n + 0.5)) for n of N segments
    (Robertson and Spärck Jones 1976, kept above zero), one that no segment says too. A text that says another
    label of a concept that the query names says that name's words as well.
    """
    weights = {word: _weight(word, store) for word in {stem(word) for word in query.words}}
    whole = sum(weights.values())
    others = label_finder(_other_labels(query, store))
    names: dict[str, set[str]] = defaultdict(set)
    for sought in query.concepts:
        names[sought.concept].update(stems_of(sought.label))
    named = weights.keys() & set().union(*names.values())

    def share(text: str) -> float:
        said = set(stems_of(text))
        if not said.issuperset(named):
            said.update(*(names[one.concept] for one in find_labels(text, others)))
        return sum(weights[word] for word in weights.keys() & said) / whole if whole else 1.0

    return {
        number: max(share(text[piece.begin : piece.stop]) for piece in passages_of(text) or (Passage(0, len(text)),))
        for number, (text, _) in store.texts(numbers).items()
    }


def word_matches(query: Query, store: Store, count: int, among: Ids | None) -> dict[int, float]:
    """BM25 of the best `count` segments by id, best first; only of `among` where that is given."""
    return store.best_by_words(query.phrases, _rarer(query.words, store), count, among)


def _label_matches(query: Query, store: Store, count: int, among: Ids | None) -> list[int]:
    """Ids of segments that may say another label of a concept that the query names, in the order of their ids."""
    labels = [_telling(label.text) for label in _other_labels(query, store)]
    return store.near_each_other(query.phrases, labels, count, among) if labels else []


def matched_words(query: Query, store: Store, ids: Iterable[int]) -> dict[int, tuple[str, ...]]:
    """What each segment, in its prose or its tags' labels, says of the query: the phrases, in quotes; the words, as
    they stand there; and in quotes other labels of the concepts that the query names."""
    phrases = tuple(f"“{phrase}”" for phrase in query.phrases)
    sought = {stem(word) for word in query.words}.difference(*(stems_of(phrase) for phrase in query.phrases))
    others = label_finder(_other_labels(query, store))
    found: dict[int, tuple[str, ...]] = {}
    for number, (text, labels) in store.texts(ids).items():
        words = dict.fromkeys(word.casefold() for word in written_words(f"{text} {labels}") if stem(word) in sought)
        said = dict.fromkeys(f"“{one.label.text}”" for one in find_labels(text, others))
        found[number] = (*phrases, *words, *said)
    return found


def _telling(label: str) -> list[str]:
    """The words of a label that every text which says it has."""
    return [word.text for word in words_of(label) if fold(word.text) not in spoken.DETERMINERS]


def _rarer(words: Sequence[str], store: Store) -> list[str]:
    limit = COMMON_SHARE * store.size
    rare = [word for word in words if store.holders(stem(word)) <= limit]
    return rare or list(words)


def _weight(stemmed: str, store: Store) -> float:
    found = store.holders(stemmed)
    return math.log(1 + (store.size - found + 0.5) / (found + 0.5))


def _other_labels(query: Query, store: Store) -> list[Label]:
    """Labels of several words, misheard ones too, that the concepts named in the query have beside the one it says."""
    said = {(sought.concept, sought.label) for sought in query.concepts}
    concepts = {concept for concept, _ in said}
    return [
        label for label in _long_labels(store) if label.concept in concepts and (label.concept, label.text) not in said
    ]


@once_per_store
def _long_labels(store: Store) -> tuple[Label, ...]:
    return tuple(
        label for label in labels_of(store.vocabulary) if label.role != "id" and len(label_stems(label.text)) > 1
    )
