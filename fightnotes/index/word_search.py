"""The lexical side of the store beside the text files, by SQLite's FTS5; BM25 and phrases: `index/occurrences`."""

from __future__ import annotations

import json
from collections.abc import Iterable, Sequence

from fightnotes.index.database import Connection
from fightnotes.index.vector_file import Ids
from fightnotes.language.words import words_of


def near_each_other(
    connection: Connection, phrases: Sequence[str], groups: Iterable[Sequence[str]], count: int, among: Ids | None
) -> list[int]:
    """See `Store.near_each_other`."""
    near = [f"NEAR({' '.join(map(_quoted, words))}, {gap_of(words)})" for words in groups]
    expression = " AND ".join([*map(_quoted, phrases), f"({' OR '.join(near)})"])
    where, values = _matching(expression, among)
    rows = connection.execute(f"SELECT rowid FROM words WHERE {where} ORDER BY rowid LIMIT ?", (*values, count))
    return [row[0] for row in rows.fetchall()]


def gap_of(words: Sequence[str]) -> int:
    """Words that may stand between the first and the last of some: what lies between them, and one in each gap."""
    return 2 * len(words) - 3


def count_holders(connection: Connection, stem: str) -> int:
    """How many segments hold a stem."""
    connection.execute("CREATE VIRTUAL TABLE IF NOT EXISTS temp.stems USING fts5vocab('main', 'words', 'row')")
    row = connection.execute("SELECT doc FROM temp.stems WHERE term = ?", (stem,)).fetchone()
    return int(row[0]) if row else 0


def texts_of(connection: Connection, ids: Iterable[int]) -> dict[int, tuple[str, str]]:
    """Prose and labels of each segment."""
    rows = connection.execute(
        "SELECT rowid, text, labels FROM words WHERE rowid IN (SELECT value FROM json_each(?))",
        (json.dumps(list(ids)),),
    )
    return {number: (text, labels) for number, text, labels in rows.fetchall()}


def _matching(expression: str, among: Ids | None) -> tuple[str, list[str]]:
    """The condition for an FTS5 expression, and its values."""
    if among is None:
        return "words MATCH ?", [expression]
    # "+", for otherwise SQLite asks FTS5 anew for each of the rows
    return "words MATCH ? AND +rowid IN (SELECT value FROM json_each(?))", [expression, json.dumps(among.tolist())]


def _quoted(text: str) -> str:
    """The words of any text as one FTS5 string: nothing in it is an operator."""
    return '"' + " ".join(word.text for word in words_of(text)) + '"'
