"""A search of the index by FAISS itself, for holding against exact products."""

from __future__ import annotations

from collections.abc import Sequence

import faiss
import numpy as np

from fightnotes.index.encoder import Vectors
from fightnotes.index.vector_file import Ids


def nearest(
    index: faiss.IndexIDMap2, vector: Vectors, count: int, among: Ids | Sequence[int] | None = None
) -> tuple[Ids, Vectors]:
    """Ids and cosines of the `count` segments nearest to `vector`, nearest first; `among` limits them to some ids.

    Segments with the same cosine stand in the order of their ids; which of them are among the first
    `count` where the cut falls between them is left open.
    """
    params: faiss.SearchParameters | None = None
    if among is not None:
        params = faiss.SearchParameters(sel=faiss.IDSelectorBatch(np.asarray(among, dtype=np.int64)))  # type: ignore[call-arg]
    cosines, ids = index.search(vector.reshape(1, -1), min(count, max(index.ntotal, 1)), params=params)
    kept = ids[0] >= 0
    found, near = ids[0][kept], cosines[0][kept]
    order = np.lexsort((found, -near))
    return found[order], near[order]
