"""The lexical side: BM25 over stemmed words and quoted phrases, by SQLite's FTS5."""

from __future__ import annotations

from collections.abc import Sequence

from fightnotes.index.store import Store
from fightnotes.language.words import words_of
from fightnotes.model import Vocabulary
from fightnotes.search.query import Query

LABEL_WEIGHT = 0.6
"""What a word in a tag's labels counts for, against 1 for the same word in the prose."""
COMMON_SHARE = 0.25
"""A word in more than this share of all segments does not look them up, as long as a rarer one does."""
HIGHLIGHT_OPEN, HIGHLIGHT_CLOSE = "\x02", "\x03"


def word_matches(query: Query, store: Store, count: int, among: Sequence[int] | None) -> dict[int, float]:
    """BM25 of the best `count` segments by id, higher is better; only of `among` where that is given."""
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
            (HIGHLIGHT_OPEN, HIGHLIGHT_CLOSE, HIGHLIGHT_OPEN, HIGHLIGHT_CLOSE, " OR ".join(terms), int(number)),
        ).fetchone()
        if row:
            pieces = [piece for text in row for piece in text.split(HIGHLIGHT_OPEN)[1:]]
            found[number] = tuple(dict.fromkeys(piece.partition(HIGHLIGHT_CLOSE)[0].casefold() for piece in pieces))
    return found


def match_expression(query: Query, store: Store) -> str | None:
    """The FTS5 expression for a query: phrases must hold, words may; None where there is nothing to look up."""
    phrases = [_quoted(phrase) for phrase in query.phrases]
    words = [_quoted(word) for word in (*_rarer(query.words, store), *_other_labels(query, store.vocabulary))]
    if not phrases:
        return " OR ".join(words) or None
    return " AND ".join([*phrases, f"({' OR '.join([*phrases, *words])})"])


def _quoted(text: str) -> str:
    """The words of any text as one FTS5 string: nothing in it is an operator."""
    return '"' + " ".join(word.text for word in words_of(text)) + '"'


def _rarer(words: Sequence[str], store: Store) -> list[str]:
    if len(words) < 2:
        return list(words)
    limit = COMMON_SHARE * store.size
    rare = [word for word in words if _holders(word, store) <= limit]
    return rare or list(words)


def _holders(word: str, store: Store) -> int:
    expression = f"text : {_quoted(word)}"
    return int(
        store.connection.execute(
            "SELECT count(*) FROM (SELECT 1 FROM words WHERE words MATCH ? LIMIT ?)",
            (expression, int(COMMON_SHARE * store.size) + 1),
        ).fetchone()[0]
    )


def _other_labels(query: Query, vocabulary: Vocabulary) -> list[str]:
    """Labels, misheard ones too, of the concepts that the query names."""
    labels: dict[str, None] = {}
    for sought in query.concepts:
        concept = vocabulary.by_id[sought.concept]
        for label in (concept.label, *concept.also, *concept.misheard):
            if len(words_of(label)) > 1:
                labels[label] = None
    return list(labels)


def _keep_for_query(store: Store, ids: Sequence[int]) -> None:
    store.connection.execute("CREATE TEMP TABLE IF NOT EXISTS allowed (id INTEGER PRIMARY KEY)")
    store.connection.execute("DELETE FROM temp.allowed")
    store.connection.executemany("INSERT OR IGNORE INTO temp.allowed VALUES (?)", [(int(number),) for number in ids])
