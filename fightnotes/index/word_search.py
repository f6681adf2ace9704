"""The lexical side of the store beside the text files, by SQLite's FTS5; BM25 and phrases: `index/occurrences`."""

from __future__ import annotations

import json
from collections.abc import Iterable, Sequence

import numpy as np

from fightnotes.index.database import Connection
from fightnotes.index.vector_file import Ids
from fightnotes.language.words import words_of

_ROWS = "SELECT rowid FROM words WHERE words MATCH ? {} ORDER BY rowid"
_FEW = 20_000
"""Ids that are handed to SQLite; more are told apart sooner outside it."""


def near_each_other(
    connection: Connection, phrases: Sequence[str], groups: Iterable[Sequence[str]], count: int, among: Ids | None
) -> list[int]:
    """See `Store.near_each_other`."""
    near = [f"NEAR({' '.join(map(_quoted, words))}, {gap_of(words)})" for words in groups]
    expression = " AND ".join([*map(_quoted, phrases), f"({' OR '.join(near)})"])
    if among is None or len(among) <= _FEW:
        # "+", for otherwise SQLite asks FTS5 anew for each of the rows
        inside = "" if among is None else "AND +rowid IN (SELECT value FROM json_each(?))"
        values = () if among is None else (json.dumps(among.tolist()),)
        rows = connection.execute(_ROWS.format(inside) + " LIMIT ?", (expression, *values, count))
        return [row[0] for row in rows.fetchall()]
    found = np.array(connection.execute(_ROWS.format(""), (expression,)).fetchall(), dtype=np.int64).reshape(-1)
    some: list[int] = found[np.isin(found, among, assume_unique=True)][:count].tolist()
    return some


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


def _quoted(text: str) -> str:
    """The words of any text as one FTS5 string: nothing in it is an operator."""
    return '"' + " ".join(word.text for word in words_of(text)) + '"'
