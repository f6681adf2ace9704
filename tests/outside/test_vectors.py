"""FAISS as the index uses it, against exact inner products by NumPy: order, filters, ties, removal."""

from __future__ import annotations

from pathlib import Path

import faiss
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fightnotes.index.encoder import Vectors
from fightnotes.index.vector_file import (
    Ids,
    add_vectors,
    new_vectors,
    read_vectors,
    remove_vectors,
    vectors_of,
    write_vectors,
)
from tests.nearest import nearest


def random_vectors(count: int, dimension: int, seed: int) -> Vectors:
    raw = np.random.default_rng(seed).standard_normal((count, dimension)).astype(np.float32)
    unit: Vectors = raw / np.linalg.norm(raw, axis=1, keepdims=True)
    return unit


def scattered_ids(count: int, seed: int) -> Ids:
    """Ids with gaps, in no order, as a library has them after years of edits."""
    return np.random.default_rng(seed).permutation(count * 7)[:count].astype(np.int64)


def index_of(vectors: Vectors, ids: Ids) -> faiss.IndexIDMap2:
    index = new_vectors(vectors.shape[1])
    add_vectors(index, vectors, ids)
    return index


def check(vectors: Vectors, ids: Ids, query: Vectors, count: int, found: tuple[Ids, Vectors]) -> None:
    """Against all products in double precision: the same cosines, and each id with its own."""
    exact = dict(zip(ids.tolist(), vectors.astype(np.float64) @ query.astype(np.float64), strict=True))
    best = sorted(exact.values(), reverse=True)[:count]
    found_ids, cosines = found
    assert len(found_ids) == len(set(found_ids.tolist())) == len(best)
    np.testing.assert_allclose(cosines, best, atol=1e-5)
    np.testing.assert_allclose(cosines, [exact[number] for number in found_ids.tolist()], atol=1e-5)


@settings(max_examples=60, deadline=None)
@given(
    count=st.integers(1, 400), wanted=st.integers(1, 450), dimension=st.sampled_from([8, 384]), seed=st.integers(0, 999)
)
def test_the_nearest_are_the_nearest(count: int, wanted: int, dimension: int, seed: int) -> None:
    vectors, ids = random_vectors(count, dimension, seed), scattered_ids(count, seed)
    query = random_vectors(1, dimension, seed + 1)[0]
    check(vectors, ids, query, wanted, nearest(index_of(vectors, ids), query, wanted))


@settings(max_examples=60, deadline=None)
@given(count=st.integers(1, 400), share=st.floats(0, 1), wanted=st.integers(1, 50), seed=st.integers(0, 999))
def test_the_nearest_among_some(count: int, share: float, wanted: int, seed: int) -> None:
    vectors, ids = random_vectors(count, 32, seed), scattered_ids(count, seed)
    query = random_vectors(1, 32, seed + 1)[0]
    inside = np.random.default_rng(seed).random(count) < share
    among = [*ids[inside].tolist(), 10**9]  # an id that has no vector is none of them
    check(vectors[inside], ids[inside], query, wanted, nearest(index_of(vectors, ids), query, wanted, among))


def test_among_none_there_is_none() -> None:
    vectors, ids = random_vectors(20, 32, 1), scattered_ids(20, 1)
    assert len(nearest(index_of(vectors, ids), vectors[0], 5, [])[0]) == 0


def test_in_an_empty_index_there_is_none() -> None:
    assert len(nearest(new_vectors(32), random_vectors(1, 32, 1)[0], 5)[0]) == 0


def test_equal_cosines_stand_in_the_order_of_ids() -> None:
    vectors = np.repeat(random_vectors(5, 32, 3), 8, axis=0)
    ids = scattered_ids(40, 3)
    found, cosines = nearest(index_of(vectors, ids), vectors[0], 40)
    groups = [sorted(ids[first : first + 8].tolist()) for first in range(0, 40, 8)]
    by_cosine = sorted(groups, key=lambda group: -cosines[found.tolist().index(group[0])])
    assert found.tolist() == [number for group in by_cosine for number in group]


def test_the_order_is_that_of_a_stable_sort_by_numpy() -> None:
    vectors, ids = random_vectors(3000, 384, 5), scattered_ids(3000, 5)
    index = index_of(vectors, ids)
    for query in random_vectors(20, 384, 6):
        cosines = vectors @ query
        found, _ = nearest(index, query, 100)
        position = {number: row for row, number in enumerate(ids.tolist())}
        near = cosines[[position[number] for number in found.tolist()]]
        assert (np.diff(near) <= 1e-6).all()
        assert set(found.tolist()) >= set(ids[cosines > near.min() + 1e-6].tolist())


def test_removed_vectors_are_gone_and_the_others_are_theirs() -> None:
    vectors, ids = random_vectors(300, 32, 7), scattered_ids(300, 7)
    index = index_of(vectors, ids)
    keep = np.arange(300) % 3 > 0
    remove_vectors(index, ids[~keep])
    assert index.ntotal == keep.sum()
    np.testing.assert_array_equal(vectors_of(index, ids[keep]), vectors[keep])
    check(vectors[keep], ids[keep], vectors[0], 300, nearest(index, vectors[0], 300))


@pytest.mark.parametrize("count", [0, 1, 257])
def test_a_file_gives_back_what_was_written(tmp_path: Path, count: int) -> None:
    vectors, ids = random_vectors(count, 32, 9), scattered_ids(count, 9)
    write_vectors(index_of(vectors, ids), tmp_path / "vectors.faiss")
    index = read_vectors(tmp_path / "vectors.faiss")
    np.testing.assert_array_equal(vectors_of(index, ids), vectors)
    faiss.write_index(index_of(vectors, ids), str(tmp_path / "by-faiss"))
    assert (tmp_path / "by-faiss").read_bytes() == (tmp_path / "vectors.faiss").read_bytes()
