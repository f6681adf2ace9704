"""The lexical side of a shared store: BM25 and phrases over postings, as SQLite's FTS5 has them.

BM25 is Robertson and Zaragoza's with k1 = 1.2 and b = 0.75; a word of n among N texts weighs log((N - n + 0.5) /
(n + 0.5)), 0.000001 at least; a word's places are weighed by their column before they are counted; the length of a text
is that of both columns (www.sqlite.org/fts5.html, "The bm25() function", and fts5_aux.c).
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from fightnotes.index.shared.connecting import Connection
from fightnotes.index.shared.tokens import kept, stems_of_words
from fightnotes.index.store import LABEL_WEIGHT
from fightnotes.index.vector_file import Ids
from fightnotes.index.word_search import gap_of

Stems = tuple[str, ...]

_PHRASE = """
SELECT segment, count(*) FILTER (WHERE NOT label), count(*) FILTER (WHERE label) FROM (
    SELECT p.segment, at.label, at.place - t.step
    FROM unnest(%(stems)s::text[], %(steps)s::integer[]) AS t(stem, step)
    JOIN postings p ON p.stem = t.stem
    CROSS JOIN LATERAL (
        SELECT false, unnest(p.places) UNION ALL SELECT true, unnest(p.label_places)
    ) AS at(label, place)
    WHERE p.segment IN (SELECT segment FROM postings WHERE stem = %(rarest)s)
    GROUP BY 1, 2, 3 HAVING count(*) = cardinality(%(stems)s::text[])
) AS begun GROUP BY segment
"""
"""Where a phrase begins, each of its stems stands so many places on."""
_SCORES = """
WITH held AS (
    SELECT t.number, t.weight, p.segment, p.length,
        cardinality(p.places) + %(label_weight)s::float8 * cardinality(p.label_places) AS times
    FROM unnest(%(numbers)s::integer[], %(stems)s::text[], %(weights)s::float8[]) AS t(number, stem, weight)
    JOIN postings p ON p.stem = t.stem
    UNION ALL
    SELECT h.number, h.weight, h.segment, s.length, h.times
    FROM unnest(%(phrase_numbers)s::integer[], %(phrase_weights)s::float8[], %(segments)s::bigint[],
        %(times)s::float8[]) AS h(number, weight, segment, times)
    JOIN segments s ON s.id = h.segment
)
SELECT segment, sum(weight * (times * 2.2::float8)
    / (times + 1.2::float8 * (0.25::float8 + 0.75::float8 * length / %(usual)s::float8)) ORDER BY number) AS score
FROM held WHERE %(among)s::bigint[] IS NULL OR segment = ANY(%(among)s)
GROUP BY segment ORDER BY score DESC, segment LIMIT %(count)s
"""


@dataclass(frozen=True)
class _Phrase:
    """Some stems one behind the other, and how often each segment that holds them does."""

    holders: dict[int, tuple[int, int]]
    """By id: times in the prose, and in the labels."""

    @property
    def times(self) -> list[float]:
        """Weighed by their column."""
        return [prose + LABEL_WEIGHT * labels for prose, labels in self.holders.values()]


class WordSearch:
    """Over one snapshot, of `size` segments with so many `tokens` in all."""

    def __init__(self, connection: Connection, size: int, tokens: int) -> None:
        self._connection, self._size, self._tokens = connection, size, tokens

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
            _SCORES,
            {
                "label_weight": LABEL_WEIGHT,
                "numbers": [number for number, _ in single],
                "stems": [stem for _, stem in single],
                "weights": [self._weight(self.count_holders(stem)) for _, stem in single],
                "phrase_numbers": [number for number, one in several.items() for _ in one.holders],
                "phrase_weights": [self._weight(len(one.holders)) for one in several.values() for _ in one.holders],
                "segments": [segment for one in several.values() for segment in one.holders],
                "times": [times for one in several.values() for times in one.times],
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
                found.update(self._near(stems, gap_of(words), among))
        return sorted(found)[:count]

    def phrase_holders(self, phrases: Sequence[str]) -> Ids:
        """See `Store.phrase_holders`."""
        return self._holding(stems_of_words(phrases))

    def count_holders(self, stem: str) -> int:
        row = self._connection.execute("SELECT holders FROM stems WHERE stem = %s", (kept(stem),)).fetchone()
        return int(row[0]) if row else 0

    def _weight(self, holders: int) -> float:
        weight = math.log((self._size - holders + 0.5) / (holders + 0.5))
        return weight if weight > 0 else 1e-6

    def _holding(self, phrases: Iterable[Stems]) -> Ids:
        """Ids of the segments that hold all of some phrases, ascending; none, where one of these has no stem."""
        holders = [set(self._phrase(one).holders) for one in phrases]
        return np.array(sorted(set.intersection(*holders)), dtype=np.int64)

    def _phrase(self, stems: Stems) -> _Phrase:
        if not stems:
            return _Phrase({})
        if len(stems) == 1:
            query = "SELECT segment, cardinality(places), cardinality(label_places) FROM postings WHERE stem = %s"
            rows = self._connection.execute(query, stems)
        else:
            given = {
                "stems": list(stems),
                "steps": list(range(len(stems))),
                "rarest": min(stems, key=self.count_holders),
            }
            rows = self._connection.execute(_PHRASE, given)
        return _Phrase({segment: (prose, labels) for segment, prose, labels in rows.fetchall()})

    def _near(self, words: Sequence[Stems], gap: int, among: Ids | None) -> list[int]:
        """Ids of segments that hold all the words with no more than `gap` places between first and last."""
        stems = list({stem for word in words for stem in word})
        rows = self._connection.execute(
            "SELECT segment, stem, places, label_places FROM postings WHERE stem = ANY(%(stems)s) AND segment IN ("
            "SELECT segment FROM postings WHERE stem = ANY(%(stems)s) GROUP BY segment "
            "HAVING count(*) = cardinality(%(stems)s::text[])) "
            "AND (%(among)s::bigint[] IS NULL OR segment = ANY(%(among)s))",
            {"stems": stems, "among": None if among is None else among.tolist()},
        )
        prose: dict[int, dict[str, list[int]]] = defaultdict(dict)
        labels: dict[int, dict[str, list[int]]] = defaultdict(dict)
        for segment, stem, places, label_places in rows:
            prose[segment][stem], labels[segment][stem] = places, label_places
        return [one for one in prose if _are_near(words, gap, prose[one]) or _are_near(words, gap, labels[one])]


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
