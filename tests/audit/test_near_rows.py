"""Rows that are near to rows above them, against the product of all with all."""

from __future__ import annotations

import numpy as np
import pytest

from fightnotes.audit import near_rows
from fightnotes.index.encoder import Vectors


def clustered(count: int, dimension: int, seed: int) -> Vectors:
    """Rows of length 1 around a few centres, some of them the same."""
    random = np.random.default_rng(seed)
    centres = random.normal(size=(12, dimension))
    rows = centres[random.integers(12, size=count)] + random.normal(size=(count, dimension)) * 0.35
    rows[count // 2 :: 7] = rows[: len(rows[count // 2 :: 7])]
    found: Vectors = (rows / np.linalg.norm(rows, axis=1, keepdims=True)).astype(np.float32)
    return found


@pytest.mark.parametrize("dimension", [5, 64, 200])
@pytest.mark.parametrize("least", [0.7, 0.9, 0.999])
def test_all_near_rows_above_and_no_others(dimension: int, least: float, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(near_rows, "_ROWS", 32)  # blocks that end amid the rows
    monkeypatch.setattr(near_rows, "_COLUMNS", 40)
    vectors = clustered(150, dimension, dimension)
    cosines = np.tril(vectors.astype(np.float64) @ vectors.T.astype(np.float64), -1)
    sure = np.abs(cosines - least) > 1e-6
    expected = {(row, other) for row, other in np.argwhere((cosines >= least) & sure).tolist()}
    assert expected
    found = {
        (near.row, other): cosine
        for near in near_rows.near_above(vectors, least)
        for other, cosine in zip(near.others.tolist(), near.cosines.tolist(), strict=True)
    }
    assert {pair for pair in found if sure[pair]} == expected
    assert all(abs(cosine - cosines[pair]) < 1e-5 for pair, cosine in found.items())


def test_each_row_comes_once_and_in_order() -> None:
    rows = [near.row for near in near_rows.near_above(clustered(1500, 20, 1), 0.9)]
    assert rows == sorted(set(rows))


@pytest.mark.parametrize("count", [0, 1])
def test_nothing_to_compare(count: int) -> None:
    assert list(near_rows.near_above(clustered(8, 6, 1)[:count], 0.5)) == []
