"""A library, held open: one method for each thing that can be done with it. Prints nothing."""

from __future__ import annotations

from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING

from fightnotes.errors import LibraryNotFound

if TYPE_CHECKING:  # a script that only builds need not load what only a search needs
    from fightnotes.index.build import BuildReport
    from fightnotes.index.progress import Progress
    from fightnotes.index.store import Store
    from fightnotes.reading.library import LibraryReading
    from fightnotes.search.filters import Filters
    from fightnotes.search.find import Found


def open_library(path: str | Path) -> Library:
    """The library in a folder, which need not hold anything yet. Raises LibraryNotFound where there is no folder."""
    return Library(Path(path))


class Library:
    """Reads the text files it is asked about when it is asked; the index stays open from the first query on."""

    def __init__(self, root: Path) -> None:
        if not root.is_dir():
            raise LibraryNotFound(f"there is no folder {root}")
        self.root = root.resolve()

    @cached_property
    def store(self) -> Store:
        """The index as the last build left it. Raises StoreMissing, StoreOutdated or StoreTorn."""
        from fightnotes.index.store import Store

        return Store(self.root)

    def read(self) -> LibraryReading:
        """All that the text files say now, without the index."""
        from fightnotes.reading.library import read_library

        return read_library(self.root)

    def build(self, progress: Progress | None = None) -> BuildReport:
        """Brings the index up to date; what is wrong in the files is in the report."""
        from fightnotes.index.build import build

        report = build(self.root, progress)
        self.__dict__.pop("store", None)  # the next query opens the new one
        return report

    def find(self, query: str, filters: Filters | None = None, *, limit: int = 20, spread: bool = False) -> Found:
        """The moments that answer a query, best first. Raises StoreMissing before the first build."""
        from fightnotes.search.filters import Filters
        from fightnotes.search.find import find

        return find(self.store, query, filters or Filters(), limit=limit, spread=spread)
