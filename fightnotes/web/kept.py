"""The library that the page shows: index and encoder stay loaded, until a build puts others in their place."""

from __future__ import annotations

import threading
from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar

from fightnotes.errors import FightnotesError, StoreError
from fightnotes.library import Library, open_library

_T = TypeVar("_T")


class KeptLibrary:
    """Whoever began to read goes on with the index that was there then: a store is one snapshot."""

    def __init__(self, root: Path) -> None:
        """Builds where no index can serve. Raises LibraryNotFound, ModelError and what else a build raises."""
        self.trouble: str | None = None
        """Why the index could not be brought up to date, where it could not."""
        self._building, self._asking = threading.Lock(), threading.Lock()
        self._known: dict[str, Any] = {}
        self._lately: dict[str, tuple[Library, Any]] = {}
        self._at_work: set[str] = set()
        try:
            self._library = _warmed(open_library(root))
            self.stale = bool(self._library.store.changed_files())
        except StoreError:
            open_library(root).build()
            self._library = _warmed(open_library(root))
            self.stale = False

    @property
    def library(self) -> Library:
        """Ask for it once in a request: the next one may be another."""
        return self._library

    def once(self, name: str, work_out: Callable[[Library], _T]) -> _T:
        """What takes long to work out, kept as long as the index is; who asks meanwhile waits for it."""
        with self._asking:
            library = self._library
            if name not in self._known:
                self._known[name] = work_out(library)
            found: _T = self._known[name]
        return found

    def lately(self, name: str, work_out: Callable[[Library], _T]) -> tuple[_T, bool]:
        """As `once`, for what takes many seconds, with whether it is of the index as it is: of a new one it is worked
        out behind what was known of the one before, which is given until then."""
        with self._asking:
            library = self._library
            known = self._lately.get(name)
        if known is None:
            known = self._lately[name] = library, self.once(name, work_out)
        fresh = known[0] is library
        if not fresh:
            self._work_out_behind(name, library, work_out)
        return known[1], fresh

    def _work_out_behind(self, name: str, library: Library, work_out: Callable[[Library], _T]) -> None:
        def work() -> None:
            try:
                self._lately[name] = library, work_out(library)
            finally:
                self._at_work.discard(name)

        with self._asking:
            if name in self._at_work:
                return
            self._at_work.add(name)
        threading.Thread(target=work, daemon=True, name=f"work out {name}").start()

    def renew(self) -> None:
        """Brings the index up to date and shows it from then on; where that fails `trouble` says why."""
        with self._building:
            self.stale = True
            try:
                library = open_library(self._library.root)
                library.build()
                self._swap(_warmed(library))
                self.trouble = None
            except FightnotesError as error:
                self.trouble = str(error)
            self.stale = False

    def follow_changes(self) -> None:
        """Renews whenever a text file changes. Never ends."""
        for changed in self._library.changes():
            if changed or self.stale:
                self.renew()

    def _swap(self, library: Library) -> None:
        with self._asking:
            self._library, self._known = library, {}


def _warmed(library: Library) -> Library:
    """With all loaded that the first query would load."""
    library.find("warm")
    return library
