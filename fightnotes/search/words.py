"""The lexical side: BM25 over stemmed words and quoted phrases, by SQLite's FTS5."""

from __future__ import annotations

import math
from collections.abc import Sequence

from fightnotes.index.store import Store
from fightnotes.index.vector_file import Ids
from fightnotes.language.words import stem, words_of
from fightnotes.model import Vocabulary
from fightnotes.search.query import ConceptSought, Query

LABEL_WEIGHT = 0.6
"""What a word in a tag's labels counts for in BM25, against 1 for the same word in the prose."""
COMMON_SHARE = 0.25
"""A word in more than this share of all segments does not look them up, as long as a rarer one does."""
_OPEN, _CLOSE = "\x02", "\x03"


def word_shares(query: Query, store: Store, count: int, among: Ids | None) -> dict[int, float]:
    """For the best `count` segments by BM25, the share of the query's words that each says, by their weight.

    A word weighs its inverse document frequency, log(1 + (N - n + 0.5) / (n + 0.5)) for n of N segments
    (Robertson and Spärck Jones 1976, kept above zero), one that no segment says too. A moment that has another
    label of a concept that the query names says that name's words as well.
    """
    weights = {word: _weight(word, store) for word in {stem(word) for word in query.words}}
    whole = sum(weights.values())
    others = [(_stems(label), set(_stems(sought.label))) for sought, label in _other_labels(query, store.vocabulary)]
    shares: dict[int, float] = {}
    for number in word_matches(query, store, count, among):
        row = store.connection.execute("SELECT text, labels FROM words WHERE rowid = ?", (number,)).fetchone()
        stems = _stems(" ".join(row))
        said = set(stems).union(*(named for label, named in others if _holds(stems, label)))
        shares[number] = sum(weights[word] for word in weights.keys() & said) / whole if whole else 1.0
    return shares


def word_matches(query: Query, store: Store, count: int, among: Ids | None) -> dict[int, float]:
    """BM25 of the best `count` segments by id, best first; only of `among` where that is given."""
    expression = match_expression(query, store)
    if expression is None:
        return {}
    inside = ""
    if among is not None:
        _keep_for_query(store, among)
        inside = "AND rowid IN (SELECT id FROM temp.allowed)"
    rows = store.connection.execute(
        f"SELECT rowid, -bm25(words, 1.0, {LABEL_WEIGHT}) AS score FROM words "
        f"WHERE words MATCH ? {inside} ORDER BY score DESC, rowid LIMIT ?",
        (expression, count),
    )
    return dict(rows.fetchall())


def phrase_matches(query: Query, store: Store) -> list[int]:
    """Ids of all segments that hold every quoted phrase."""
    expression = " AND ".join(_quoted(phrase) for phrase in query.phrases)
    return [row[0] for row in store.connection.execute("SELECT rowid FROM words WHERE words MATCH ?", (expression,))]


def matched_words(query: Query, store: Store, ids: Sequence[int]) -> dict[int, tuple[str, ...]]:
    """The words of each segment that the query's words and phrases met, as they stand there."""
    terms = [_quoted(text) for text in (*query.phrases, *query.words)]
    if not terms or not ids:
        return {}
    found: dict[int, tuple[str, ...]] = {}
    for number in ids:
        row = store.connection.execute(
            "SELECT highlight(words, 0, ?, ?), highlight(words, 1, ?, ?) FROM words WHERE words MATCH ? AND rowid = ?",
            (_OPEN, _CLOSE, _OPEN, _CLOSE, " OR ".join(terms), int(number)),
        ).fetchone()
        if row:
            pieces = [piece for text in row for piece in text.split(_OPEN)[1:]]
            found[number] = tuple(dict.fromkeys(piece.partition(_CLOSE)[0].casefold() for piece in pieces))
    return found


def match_expression(query: Query, store: Store) -> str | None:
    """The FTS5 expression for a query: phrases must hold, words may; None where there is nothing to look up."""
    phrases = [_quoted(phrase) for phrase in query.phrases]
    words = [
        _quoted(word)
        for word in (*_rarer(query.words, store), *(label for _, label in _other_labels(query, store.vocabulary)))
    ]
    if not phrases:
        return " OR ".join(words) or None
    return " AND ".join([*phrases, f"({' OR '.join([*phrases, *words])})"])


def _quoted(text: str) -> str:
    """The words of any text as one FTS5 string: nothing in it is an operator."""
    return '"' + " ".join(word.text for word in words_of(text)) + '"'


def _rarer(words: Sequence[str], store: Store) -> list[str]:
    limit = COMMON_SHARE * store.size
    rare = [word for word in words if holders(stem(word), store) <= limit]
    return rare or list(words)


def holders(stemmed: str, store: Store) -> int:
    """How many segments hold a word with this stem, in prose or labels."""
    _index_of_words(store)
    row = store.connection.execute("SELECT doc FROM temp.stems WHERE term = ?", (stemmed,)).fetchone()
    return int(row[0]) if row else 0


def every_stem(store: Store) -> list[str]:
    _index_of_words(store)
    return [row[0] for row in store.connection.execute("SELECT term FROM temp.stems")]


def _index_of_words(store: Store) -> None:
    store.connection.execute("CREATE VIRTUAL TABLE IF NOT EXISTS temp.stems USING fts5vocab('main', 'words', 'row')")


def _weight(stemmed: str, store: Store) -> float:
    found = holders(stemmed, store)
    return math.log(1 + (store.size - found + 0.5) / (found + 0.5))


def _stems(text: str) -> list[str]:
    return [word.stem for word in words_of(text)]


def _holds(said: list[str], phrase: list[str]) -> bool:
    return any(said[begin : begin + len(phrase)] == phrase for begin in range(len(said) - len(phrase) + 1))


def _other_labels(query: Query, vocabulary: Vocabulary) -> list[tuple[ConceptSought, str]]:
    """Labels of several words, misheard ones too, that the concepts named in the query have beside the one it says."""
    return [
        (sought, label)
        for sought in query.concepts
        for label, role in vocabulary.by_id[sought.concept].labels()
        if role != "id" and label != sought.label and len(words_of(label)) > 1
    ]


def _keep_for_query(store: Store, ids: Ids) -> None:
    store.connection.execute("CREATE TEMP TABLE IF NOT EXISTS allowed (id INTEGER PRIMARY KEY)")
    store.connection.execute("DELETE FROM temp.allowed")
    store.connection.executemany("INSERT OR IGNORE INTO temp.allowed VALUES (?)", [(int(number),) for number in ids])
