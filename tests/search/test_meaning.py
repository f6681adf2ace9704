"""One pass over the vectors where they lie gives what a search of the index gives."""

from __future__ import annotations

import gc
import weakref
from pathlib import Path

import numpy as np
import pytest

from fightnotes.index.store import Store
from fightnotes.library import open_library
from fightnotes.search.meaning import rows_of, segment_cosines
from fightnotes.search.once import once_per_store
from tests.conftest import MakeLibrary
from tests.nearest import nearest
from tests.search.samples import FIRST, LIBRARY


def check(store: Store) -> None:
    vector = store.encoder.encode(["lead foot outside"])[0]
    ids, cosines = nearest(store.vectors, vector, store.size)
    rows = rows_of(store)
    assert rows.ids.tolist() == sorted(store.every_segment())
    order = np.argsort(ids)
    assert ids[order].tolist() == rows.ids.tolist()
    assert segment_cosines(vector, store) == pytest.approx(cosines[order], abs=1e-5)
    assert {tag: rows.ids[tagged].tolist() for tag, tagged in rows.tagged.items()} == {
        tag: tagged.tolist() for tag, tagged in store.tagged.items()
    }


def test_as_the_index_finds(root: Path) -> None:
    check(Store(root))


def test_after_builds_that_took_out_and_put_in(make_library: MakeLibrary) -> None:
    """The index then holds its vectors in another order than that of the ids."""
    root = make_library({name: text for name, text in LIBRARY.items() if name != "library.yaml"})
    library = open_library(root)
    library.build()
    (root / "bouts/first.md").write_text(FIRST.replace("steps outside again", "goes outside once more"))
    library.build()
    (root / "bouts/second.md").unlink()
    library.build()
    ids = rows_of(library.store).ids
    assert ids.tolist() != list(range(1, len(ids) + 1))
    check(library.store)


def test_what_is_worked_out_is_kept_for_the_store_alone(root: Path) -> None:
    asked = []

    @once_per_store
    def size(store: Store) -> int:
        asked.append(weakref.ref(store))
        return store.size

    first, second = Store(root), Store(root)
    assert size(first) == size(first) == size(second)
    assert len(asked) == 2
    del first, second
    gc.collect()
    assert [reference() for reference in asked] == [None, None]
