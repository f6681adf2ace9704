"""Where words stand in the texts, as FTS5 keeps it, and BM25 of it for all segments at once.

FTS5 reckons BM25 row by row for each query anew, and for words that many notes hold this took most of a query's time.
Here each word is reckoned once, and kept for the queries that follow; the formula (`index/bm25`) and the scores are
FTS5's own.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property, reduce

import numpy as np
import numpy.typing as npt

from fightnotes.index.bm25 import K1, LABEL_WEIGHT, B, rarity
from fightnotes.index.database import Connection
from fightnotes.index.placed_vectors import best_rows
from fightnotes.index.vector_file import Ids
from fightnotes.language import spoken

Scores = npt.NDArray[np.float64]

_OFFSET_BITS = 31
_LABELS, _SEGMENT_BITS = 1 << _OFFSET_BITS, _OFFSET_BITS + 1
_OCCURRENCES = (
    f"SELECT group_concat((doc << {_SEGMENT_BITS}) | ((col = 'labels') << {_OFFSET_BITS}) | offset, ' ') "
    "FROM temp.occurrences WHERE term = ?"
)
"""An occurrence is one number: the segment, whether it stands in the labels of its tags, and at which token there."""
_STRETCH = 64
MOST_KEPT = 1 << 24
"""Scores that are kept, of 16 bytes each."""


class Occurrences:
    """Of the words of a finished database. Threads may share it."""

    def __init__(self, connection: Connection) -> None:
        self._connection = connection
        self._kept: dict[tuple[str, ...], tuple[Ids, Scores]] = {}
        connection.execute(
            "CREATE VIRTUAL TABLE IF NOT EXISTS temp.occurrences USING fts5vocab('main', 'words', 'instance')"
        )
        connection.execute(
            f"CREATE VIRTUAL TABLE IF NOT EXISTS temp.asked USING fts5 (text, tokenize = '{spoken.TOKENIZER}')"
        )
        connection.execute(
            "CREATE VIRTUAL TABLE IF NOT EXISTS temp.asked_tokens USING fts5vocab('temp', 'asked', 'instance')"
        )

    def best(
        self, phrases: Sequence[str], words: Sequence[str], count: int, among: Ids | None = None
    ) -> dict[int, float]:
        """BM25 of the best `count` segments by id, best first, ids breaking ties: of those that hold all phrases, and
        of `among` where that is given."""
        scores = np.zeros(len(self._ids))
        for said in (*phrases, *phrases, *words):  # a phrase must be there, and counts as well
            rows, added = self._scores(said)
            scores[rows] += added
        if phrases:
            scores = _only(scores, self._holding(phrases))
        if among is not None:
            scores = _only(scores, np.searchsorted(self._ids, among))
        best = best_rows(scores, _likely_best(scores, count), count)
        return dict(zip(self._ids[best].tolist(), scores[best].tolist(), strict=True))

    def holding(self, phrases: Sequence[str]) -> Ids:
        """Ids of the segments that hold all of some phrases, ascending."""
        return self._ids[self._holding(phrases)]

    def _holding(self, phrases: Sequence[str]) -> Ids:
        return reduce(np.intersect1d, (self._scores(phrase)[0] for phrase in phrases))

    def _scores(self, phrase: str) -> tuple[Ids, Scores]:
        """Which segments hold a phrase, by their place among all, and its BM25 in each."""
        tokens = self._tokens(phrase)
        found = self._kept.get(tokens)
        if found is None:
            found = self._reckoned(tokens)
            if sum(len(rows) for rows, _ in tuple(self._kept.values())) > MOST_KEPT:
                self._kept.clear()
            self._kept[tokens] = found
        return found

    def _reckoned(self, tokens: tuple[str, ...]) -> tuple[Ids, Scores]:
        places = self._places(tokens)
        if not len(places):
            return places, np.empty(0)
        holders = places >> _SEGMENT_BITS
        first = np.flatnonzero(np.diff(holders, prepend=-1))
        times = np.add.reduceat(np.where(places & _LABELS, LABEL_WEIGHT, 1.0), first)
        segments = holders[first]
        rows = np.searchsorted(self._ids, segments)
        weight = rarity(len(segments), len(self._ids))
        shortened = K1 * (1 - B + B * self._lengths[rows] / self._lengths.mean())
        return rows, weight * (times * (K1 + 1) / (times + shortened))

    def _places(self, tokens: tuple[str, ...]) -> Ids:
        """Occurrences of the first of some tokens that the others follow, ascending."""
        each = [self._occurrences(token) - number for number, token in enumerate(tokens)]
        return reduce(np.intersect1d, each) if each else np.empty(0, dtype=np.int64)

    def _occurrences(self, token: str) -> Ids:
        (found,) = self._connection.execute(_OCCURRENCES, (token,)).fetchone()
        return np.sort(np.fromstring(found or "", dtype=np.int64, sep=" "))

    def _tokens(self, phrase: str) -> tuple[str, ...]:
        """As FTS5 cuts and stems it."""
        with self._connection.alone:
            self._connection.execute("INSERT INTO temp.asked (rowid, text) VALUES (1, ?)", (phrase,))
            rows = self._connection.execute("SELECT term FROM temp.asked_tokens ORDER BY offset").fetchall()
            self._connection.execute("DELETE FROM temp.asked")
        return tuple(term for (term,) in rows)

    @property
    def _ids(self) -> Ids:
        return self._sizes[0]

    @property
    def _lengths(self) -> Ids:
        return self._sizes[1]

    @cached_property
    def _sizes(self) -> tuple[Ids, Ids]:
        """Ids of all segments, ascending, and how many tokens each has, in prose and labels together."""
        rows = self._connection.execute("SELECT id, sz FROM words_docsize ORDER BY id").fetchall()
        return np.array([number for number, _ in rows], dtype=np.int64), _sums([size for _, size in rows])


def _only(scores: Scores, rows: Ids) -> Scores:
    kept = np.zeros_like(scores)
    kept[rows] = scores[rows]
    return kept


def _likely_best(scores: Scores, count: int) -> Ids:
    """Rows with a score that hold the best `count`: so many stretches of rows have one that reaches the bar."""
    tops = scores[: len(scores) // _STRETCH * _STRETCH].reshape(-1, _STRETCH).max(axis=1)
    bar = np.partition(tops, -count)[-count] if len(tops) > count else 0
    return np.flatnonzero(scores >= bar) if bar else np.flatnonzero(scores)


def _sums(sizes: Sequence[bytes]) -> Ids:
    """Of the numbers in each of some blobs, which are written as SQLite's varints (sqlite.org/fileformat2.html, "A
    variable-length integer"): seven bits a byte, the highest first, the eighth bit set in all but the last."""
    written = np.frombuffer(b"".join(sizes), dtype=np.uint8).astype(np.int64)
    last = np.flatnonzero(written < 0x80)
    left = last[np.searchsorted(last, np.arange(len(written)))] - np.arange(len(written))
    lengths = np.array([len(size) for size in sizes], dtype=np.int64)
    begins = np.cumsum(lengths) - lengths
    sums: Ids = np.add.reduceat((written & 0x7F) << 7 * left, begins) if sizes else written
    return sums
