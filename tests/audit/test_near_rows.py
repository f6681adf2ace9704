"""The nearest of the rows above each, against the product of all with all."""

from __future__ import annotations

import numpy as np
import pytest

from fightnotes.audit import near_rows
from fightnotes.audit.near_rows import Flags, Numbers, nearest_above
from fightnotes.index.encoder import Vectors


def clustered(count: int, dimension: int, seed: int) -> Vectors:
    """Rows of length 1 around a few centres, some of them the same."""
    random = np.random.default_rng(seed)
    centres = random.normal(size=(12, dimension))
    rows = centres[random.integers(12, size=count)] + random.normal(size=(count, dimension)) * 0.35
    rows[count // 2 :: 7] = rows[: len(rows[count // 2 :: 7])]
    found: Vectors = (rows / np.linalg.norm(rows, axis=1, keepdims=True)).astype(np.float32)
    return found


def all_count(rows: Numbers, others: Numbers) -> Flags:
    return rows > others


def of_other_colour(rows: Numbers, others: Numbers) -> Flags:
    return rows % 4 != others % 4


def in_full(vectors: Vectors, least: float, counts: near_rows.Counts) -> list[int]:
    """The nearest above each, -1 where none is."""
    cosines = np.tril(vectors.astype(np.float64) @ vectors.T.astype(np.float64), -1)
    rows, others = np.indices(cosines.shape)
    cosines[~counts(rows, others) | (cosines < least)] = -1
    found = [row[:index].argmax() if index else 0 for index, row in enumerate(cosines)]
    return [other if index and cosines[index, other] > -1 else -1 for index, other in enumerate(found)]


@pytest.mark.parametrize("dimension", [5, 64, 200])
@pytest.mark.parametrize("least", [0.7, 0.9, 0.999])
@pytest.mark.parametrize("counts", [all_count, of_other_colour])
def test_the_nearest_that_counts(
    dimension: int, least: float, counts: near_rows.Counts, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(near_rows, "_ROWS", 32)  # blocks that end amid the rows
    monkeypatch.setattr(near_rows, "_COLUMNS", 40)
    monkeypatch.setattr(near_rows, "_AT_ONCE", 100)
    vectors = clustered(150, dimension, dimension)
    found = nearest_above(vectors, least, counts)
    expected = in_full(vectors, least, counts)
    assert len(set(expected)) > 1
    for row, other in enumerate(expected):
        got = found.others[row]
        assert got == other or abs(vectors[row] @ vectors[other] - vectors[row] @ vectors[got]) < 1e-6
        assert (got == -1) == (other == -1) or abs(found.cosines[row] - least) < 1e-6
    assert np.all(counts(*np.array([(row, other) for row, other in enumerate(found.others) if other >= 0]).T))


def test_of_several_as_near_the_first() -> None:
    vectors = np.repeat(np.eye(4, dtype=np.float32), [3, 1, 2, 1], axis=0)
    assert nearest_above(vectors, 0.9, all_count).others.tolist() == [-1, 0, 0, -1, -1, 4, -1]


def test_of_very_many_next_to_all_are_found(monkeypatch: pytest.MonkeyPatch) -> None:
    vectors = clustered(3000, 100, 3)
    whole = nearest_above(vectors, 0.9, all_count)
    monkeypatch.setattr(near_rows, "EXACT_UP_TO", 100)
    monkeypatch.setattr(near_rows, "_IN_A_CELL", 50)
    looked_at = 0
    pairs_within = near_rows._pairs_within

    def counted(short: Vectors, least: float) -> object:
        nonlocal looked_at
        looked_at += len(short) ** 2
        return pairs_within(short, least)

    monkeypatch.setattr(near_rows, "_pairs_within", counted)
    found = nearest_above(vectors, 0.9, all_count)
    near = whole.others >= 0
    assert near.any()
    assert not (found.others[~near] >= 0).any()
    assert np.mean(found.others[near] == whole.others[near]) > 0.98
    assert looked_at < 0.6 * len(vectors) ** 2


@pytest.mark.parametrize("count", [0, 1])
def test_nothing_to_compare(count: int) -> None:
    assert nearest_above(clustered(8, 6, 1)[:count], 0.5, all_count).others.tolist() == [-1] * count
