"""One pass over the vectors where they lie gives what a search of the index gives."""

from __future__ import annotations

import gc
import weakref
from pathlib import Path

import pytest

from fightnotes.index.local_store import LocalStore
from fightnotes.index.store import Store
from fightnotes.library import open_library
from fightnotes.search.once import once_per_store
from tests.conftest import MakeLibrary
from tests.search.samples import FIRST, LIBRARY


def check(store: Store) -> None:
    """Against the vectors that stand in the index under each id, multiplied one by one."""
    vector = store.encoder.encode(["lead foot outside"])[0]
    every = store.every_segment()
    assert store.ids.tolist() == sorted(every)
    exact = {number: float(store.vectors_of([number])[0] @ vector) if every[number].text else 0.0 for number in every}
    assert store.every_cosine(vector).tolist() == pytest.approx([exact[number] for number in sorted(every)], abs=1e-5)
    some = store.ids[::-2]
    assert store.cosines(vector, some).tolist() == pytest.approx([exact[number] for number in some.tolist()], abs=1e-5)
    rows, codes = store.tag_table.of(store.ids[1::2])
    tags = list(store.tag_table.names)
    held = {(int(store.ids[1::2][row]), tags[code]) for row, code in zip(rows, codes, strict=True)}
    assert held == {
        (number, tag) for tag, ids in store.tagged.items() for number in ids.tolist() if number in store.ids[1::2]
    }


def test_as_the_index_finds(root: Path) -> None:
    check(LocalStore(root))


def test_after_builds_that_took_out_and_put_in(make_library: MakeLibrary) -> None:
    """The index then holds its vectors in another order than that of the ids."""
    root = make_library({name: text for name, text in LIBRARY.items() if name != "library.yaml"})
    library = open_library(root)
    library.build()
    (root / "bouts/first.md").write_text(FIRST.replace("steps outside again", "goes outside once more"))
    library.build()
    (root / "bouts/second.md").unlink()
    library.build()
    ids = library.store.ids
    assert ids.tolist() != list(range(1, len(ids) + 1))
    bouts = library.store.bouts.values()
    for some in (bouts, list(bouts)[:1], ()):
        assert library.store.ids_of(some).tolist() == Store.ids_of(library.store, some).tolist()
    check(library.store)


def test_what_is_worked_out_is_kept_for_the_store_alone(root: Path) -> None:
    asked = []

    @once_per_store
    def size(store: Store) -> int:
        asked.append(weakref.ref(store))
        return store.size

    first, second = LocalStore(root), LocalStore(root)
    assert size(first) == size(first) == size(second)
    assert len(asked) == 2
    del first, second
    gc.collect()
    assert [reference() for reference in asked] == [None, None]
