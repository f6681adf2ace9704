"""Tagged segments alike, of so many that only the nearest cells are looked through."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from fightnotes.index.local_store import LocalStore
from fightnotes.suggesting import examples
from fightnotes.suggesting.default_weights import text_weights
from fightnotes.suggesting.suggest import examples_of
from tests.bench.tag_folds import read_material


def test_in_cells_most_of_the_nearest_are_found_and_none_is_the_segment_itself(
    demo: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    material = read_material(LocalStore(demo))
    rows = np.arange(len(material.segments))
    whole = examples_of(material, rows, text_weights()).nearest(rows)
    monkeypatch.setattr(examples, "EXACT_UP_TO", 100)
    monkeypatch.setattr(examples, "_IN_A_CELL", 10)
    found = examples_of(material, rows, text_weights()).nearest(rows)
    kept = [len({*one} & {*other}) / 3 for one, other in zip(found.rows[:, :3], whole.rows[:, :3], strict=True)]
    assert 0.9 < np.mean(kept) < 1  # below 1, as the cells would else not be what was looked through
    assert not (found.rows == rows[:, None]).any()
    assert np.all(np.diff(found.cosines[:, :3], axis=1) <= 0)
