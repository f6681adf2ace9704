"""How near a vector comes to the segments of a shared store, by pgvector.

A long segment comes as near as the nearest of its passages, and one without text is near to nothing: its cosine is 0.
Vectors have length 1, so that products are cosines; pgvector gives the product with its sign turned.
"""

from __future__ import annotations

import numpy as np

from fightnotes.errors import StoreTorn
from fightnotes.index.encoder import Vectors
from fightnotes.index.shared.connecting import Connection
from fightnotes.index.shared.vectors import as_received, as_sent
from fightnotes.index.vector_file import Ids

EXACT_UP_TO = 100_000
"""Segments up to which a query is held against every one of them; above it, an HNSW index gives the nearest."""
HNSW = "CREATE INDEX IF NOT EXISTS nearest_vectors ON vectors USING hnsw (vector vector_ip_ops) WHERE NOT wordless"
_MORE = 2
"""Times as many vectors are asked of the index as segments are wanted, as several may be of one."""
_INDEX_SETTINGS = "SET LOCAL hnsw.ef_search = 1000", "SET LOCAL hnsw.iterative_scan = strict_order"
"""The most that pgvector takes; it goes on from there where more are wanted."""

_COSINES = """
SELECT segment, max(-(vector <#> %(vector)s::vector)) AS cosine FROM vectors
WHERE NOT wordless AND (%(among)s::bigint[] IS NULL OR segment = ANY(%(among)s)) GROUP BY segment
"""
_NEAREST_BY_INDEX = """
SELECT segment, max(cosine) AS cosine FROM (
    SELECT segment, -(vector <#> %(vector)s::vector) AS cosine FROM vectors
    WHERE NOT wordless ORDER BY vector <#> %(vector)s::vector LIMIT %(many)s
) AS near GROUP BY segment ORDER BY cosine DESC, segment LIMIT %(count)s
"""


class VectorSearch:
    """Over one snapshot with vectors of so many numbers."""

    def __init__(self, connection: Connection, dimension: int, size: int) -> None:
        self._connection, self._dimension, self._size = connection, dimension, size

    def nearest(self, vector: Vectors, count: int, among: Ids | None) -> tuple[Ids, Vectors]:
        """See `Store.nearest`. Every segment is looked at, or every one of `among`; where all of a large store may
        answer, those that the index gives, which may miss some."""
        if among is not None or self._size <= EXACT_UP_TO:
            return self._asked(f"{_COSINES} ORDER BY cosine DESC, segment LIMIT %(count)s", vector, among, count)
        for setting in _INDEX_SETTINGS:
            self._connection.execute(setting)
        return self._asked(_NEAREST_BY_INDEX, vector, None, count)

    def cosines(self, vector: Vectors, ids: Ids) -> Vectors:
        """See `Store.cosines`."""
        found, cosines = self._asked(f"{_COSINES} ORDER BY segment", vector, ids, 0)
        asked = np.zeros(len(ids), dtype=np.float32)
        order = np.argsort(ids)
        asked[order[np.searchsorted(ids, found, sorter=order)]] = cosines
        return asked

    def passage_cosines(self, vector: Vectors, ids: Ids) -> dict[int, Vectors]:
        """See `Store.passage_cosines`."""
        rows = self._connection.execute(
            "SELECT segment, array_agg(-(vector <#> %s::vector) ORDER BY id) FROM vectors "
            "WHERE segment = ANY(%s) AND id <> segment GROUP BY segment",
            (as_sent(vector), ids.tolist()),
        )
        return {segment: np.array(cosines, dtype=np.float32) for segment, cosines in rows.fetchall()}

    def vectors_of(self, ids: list[int]) -> Vectors:
        """The vectors of some ids, in their order. Raises StoreTorn for one that has none."""
        query = "SELECT id, vector FROM vectors WHERE id = ANY(%s)"
        rows = self._connection.execute(query, (list(set(ids)),), binary=True).fetchall()
        vectors = as_received((raw for _, raw in rows), self._dimension)
        places = {number: place for place, (number, _) in enumerate(rows)}
        if not places.keys() >= set(ids):
            raise StoreTorn("a segment has no vector")
        return vectors[[places[number] for number in ids]]

    def _asked(self, query: str, vector: Vectors, among: Ids | None, count: int) -> tuple[Ids, Vectors]:
        given = {
            "vector": as_sent(vector),
            "among": None if among is None else among.tolist(),
            "count": count,
            "many": _MORE * count,
        }
        rows = self._connection.execute(query, given, binary=True).fetchall()
        segments = np.array([segment for segment, _ in rows], dtype=np.int64)
        return segments, np.array([cosine for _, cosine in rows], dtype=np.float32)
