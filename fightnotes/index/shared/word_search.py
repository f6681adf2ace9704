"""The lexical side of a shared store: BM25 and phrases over postings, as SQLite's FTS5 has them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import islice
from typing import Any

import numpy as np

from fightnotes.index.bm25 import K1, LABEL_WEIGHT, B, rarity
from fightnotes.index.shared.connecting import Connection
from fightnotes.index.shared.tokens import kept, stems_of_words
from fightnotes.index.vector_file import Ids
from fightnotes.index.word_search import gap_of

Stems = tuple[str, ...]

_AT_ONCE = 1000
"""Segments whose words are fetched at a time, to be looked at for whether they stand near each other."""
_MOST_PHRASES = 64
"""Phrases of which it is kept who holds them."""

_SCORES = """
WITH held AS MATERIALIZED (
    SELECT t.number, t.weight, p.segment, p.length,
        cardinality(p.places) + %(label_weight)s::float8 * cardinality(p.label_places) AS times
    FROM unnest(%(numbers)s::integer[], %(stems)s::text[], %(weights)s::float8[]) AS t(number, stem, weight)
    JOIN postings p ON p.stem = t.stem
    UNION ALL
    SELECT * FROM unnest(%(phrase_numbers)s::integer[], %(phrase_weights)s::float8[], %(segments)s::bigint[],
        %(lengths)s::integer[], %(times)s::float8[])
)
SELECT segment, sum(weight * (times * (%(k1)s::float8 + 1))
    / (times + %(k1)s::float8 * (1 - %(b)s::float8 + %(b)s::float8 * length / %(usual)s::float8)) ORDER BY number)
    AS score
FROM held {among} GROUP BY segment ORDER BY score DESC, segment LIMIT %(count)s
"""
"""Materialized, as the server would else look up the words of each segment that is allowed, one by one."""
_AMONG = "JOIN unnest(%(among)s::bigint[]) AS allowed (segment) USING (segment)"


@dataclass(frozen=True)
class _Phrase:
    """Some stems one behind the other, and how often each segment that holds them does."""

    holders: dict[int, tuple[int, float]]
    """By id: tokens of the segment, and the times in it, those in labels weighed."""


class WordSearch:
    """Over one snapshot, of `size` segments with so many `tokens` in all."""

    def __init__(self, connection: Connection, size: int, tokens: int) -> None:
        self._connection, self._size, self._tokens = connection, size, tokens
        self._phrases: dict[Stems, _Phrase] = {}

    def best(self, phrases: Sequence[str], words: Sequence[str], count: int, among: Ids | None) -> dict[int, float]:
        """See `Store.best_by_words`."""
        stems = stems_of_words([*phrases, *words])
        all_of, any_of = stems[: len(phrases)], [one for one in stems[len(phrases) :] if one]
        if phrases:
            holding = self._holding(all_of)
            among = holding if among is None else np.intersect1d(holding, among)
        # FTS5 counts a phrase that must be held for that, and again as one of those that may be
        sought = [*all_of, *all_of, *any_of]
        if not sought or (among is not None and not len(among)):
            return {}
        single = [(number, one[0]) for number, one in enumerate(sought) if len(one) == 1]
        several = {number: self._phrase(one) for number, one in enumerate(sought) if len(one) > 1}
        rows = self._connection.execute(
            _SCORES.format(among="" if among is None else _AMONG),
            {
                "k1": K1,
                "b": B,
                "label_weight": LABEL_WEIGHT,
                "numbers": [number for number, _ in single],
                "stems": [stem for _, stem in single],
                "weights": [rarity(self.count_holders(stem), self._size) for _, stem in single],
                "phrase_numbers": [number for number, one in several.items() for _ in one.holders],
                "phrase_weights": [
                    rarity(len(one.holders), self._size) for one in several.values() for _ in one.holders
                ],
                "segments": [segment for one in several.values() for segment in one.holders],
                "lengths": [length for one in several.values() for length, _ in one.holders.values()],
                "times": [times for one in several.values() for _, times in one.holders.values()],
                "usual": self._tokens / max(self._size, 1),
                "among": None if among is None else among.tolist(),
                "count": count,
            },
        )
        return dict(rows.fetchall())

    def near_each_other(
        self, phrases: Sequence[str], groups: Sequence[Sequence[str]], count: int, among: Ids | None
    ) -> list[int]:
        """See `Store.near_each_other`."""
        if phrases:
            holding = self._holding(stems_of_words(phrases))
            among = holding if among is None else np.intersect1d(holding, among)
        found: set[int] = set()
        for words in groups:
            stems = [one for one in stems_of_words(words) if one]
            if stems:
                found.update(islice(self._near(stems, gap_of(words), among), count))
        return sorted(found)[:count]

    def phrase_holders(self, phrases: Sequence[str]) -> Ids:
        """See `Store.phrase_holders`."""
        return self._holding(stems_of_words(phrases))

    def count_holders(self, stem: str) -> int:
        row = self._connection.execute("SELECT holders FROM stems WHERE stem = %s", (kept(stem),)).fetchone()
        return int(row[0]) if row else 0

    def _holding(self, phrases: Iterable[Stems]) -> Ids:
        """Ids of the segments that hold all of some phrases, ascending; none, where one of these has no stem."""
        holders = [set(self._phrase(one).holders) for one in phrases]
        return np.array(sorted(set.intersection(*holders)), dtype=np.int64)

    def _phrase(self, stems: Stems) -> _Phrase:
        if not stems:
            return _Phrase({})
        if stems not in self._phrases:
            if len(self._phrases) >= _MOST_PHRASES:
                self._phrases.clear()
            begun = " AND ".join(["true", *(f"at + {step} = ANY(p{step}.{{0}})" for step in range(1, len(stems)))])
            times = [
                f"(SELECT count(*) FROM unnest(p0.{column}) AS at WHERE {begun.format(column)})"
                for column in ("places", "label_places")
            ]
            query = f"SELECT p0.segment, p0.length, {', '.join(times)} FROM {_joined(len(stems))}"
            rows = self._connection.execute(query, stems).fetchall()
            self._phrases[stems] = _Phrase(
                {
                    segment: (length, prose + LABEL_WEIGHT * labels)
                    for segment, length, prose, labels in rows
                    if prose or labels
                }
            )
        return self._phrases[stems]

    def _near(self, words: Sequence[Stems], gap: int, among: Ids | None) -> Iterator[int]:
        """Ids of segments, ascending, that hold all the words with no more than `gap` places between first and last."""
        stems = sorted({stem for word in words for stem in word}, key=self.count_holders)
        for segment, *places in self._together(stems, among):
            prose, labels = (dict(zip(stems, places[column::2], strict=True)) for column in (0, 1))
            if _are_near(words, gap, prose) or _are_near(words, gap, labels):
                yield segment

    def _together(self, stems: Sequence[str], among: Ids | None) -> Iterator[tuple[Any, ...]]:
        """The segments that hold all of some stems, ascending, with the places of each in the prose and in labels; some
        at a time, as the first few are mostly enough."""
        columns = ", ".join(f"p{number}.places, p{number}.label_places" for number in range(len(stems)))
        query = f"SELECT p0.segment, {columns} FROM {_joined(len(stems))}"
        if among is not None:
            query = f"{query} AND p0.segment = ANY(%s) ORDER BY p0.segment"
            for begin in range(0, len(among), _AT_ONCE):
                some = among[begin : begin + _AT_ONCE].tolist()
                yield from self._connection.execute(query, (*stems, some)).fetchall()
            return
        query = f"{query} AND p0.segment > %s ORDER BY p0.segment LIMIT {_AT_ONCE}"
        last, more = -1, True
        while more:
            rows = self._connection.execute(query, (*stems, last)).fetchall()
            yield from rows
            more = len(rows) == _AT_ONCE
            last = rows[-1][0] if rows else last


def _joined(count: int) -> str:
    """The postings of some stems in the segments that hold all of them, as p0, p1 and so on; a mark for each stem."""
    joins = [f"JOIN postings p{number} ON p{number}.segment = p0.segment" for number in range(1, count)]
    return f"postings p0 {' '.join(joins)} WHERE {' AND '.join(f'p{number}.stem = %s' for number in range(count))}"


def _are_near(words: Sequence[Stems], gap: int, places: dict[str, list[int]]) -> bool:
    """Whether somewhere each word begins at most its own length and `gap` before the last begins (fts5_expr.c)."""
    begins = [_begins(word, places) for word in words]
    return any(
        all(
            any(last - len(word) - gap <= begin <= last for begin in found)
            for word, found in zip(words, begins, strict=True)
        )
        for last in set().union(*begins)
    )


def _begins(word: Stems, places: dict[str, list[int]]) -> set[int]:
    begins = [{place - step for place in places.get(stem, ())} for step, stem in enumerate(word)]
    return set.intersection(*begins)
