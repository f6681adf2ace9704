"""The library that the page shows: index and encoder stay loaded, until a build puts others in their place."""

from __future__ import annotations

import logging
import threading
import time
from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor, wait
from pathlib import Path
from typing import TYPE_CHECKING, Any, NoReturn, TypeVar

from fightnotes.errors import FightnotesError, Problem, StoreError
from fightnotes.library import Library, open_library

if TYPE_CHECKING:
    from fightnotes.index.progress import Progress

_T = TypeVar("_T")
LOG = logging.getLogger(__name__)
_ASKED_EVERY = 2.0
"""Seconds between two questions whether a shared store has changed."""
_NOT_RENEWED, _NOT_NOTICED = "The index could not be renewed", "Changes are not noticed any more"
_UNFORESEEN = "the program failed in a way that nobody foresaw; where `fightnotes serve` runs, it is written out"


class _Snapshot:
    """A library with its index loaded, and what was worked out of it."""

    def __init__(self, library: Library) -> None:
        library.find("warm wrmvqzx")  # loads all that a first query would load, and what a misspelt one needs
        self.library = library
        self.problems: tuple[Problem, ...] = library.store.problems
        self._known: dict[str, Any] = {}
        self._alone: dict[str, threading.Lock] = {}
        self._begun: dict[str, Future[Any]] = {}
        self._beginning = threading.Lock()
        self._behind = ThreadPoolExecutor(1, "work out")

    def once(self, name: str, work_out: Callable[[Library], _T]) -> _T:
        with self._alone.setdefault(name, threading.Lock()):
            if name not in self._known:
                self._known[name] = work_out(self.library)
            found: _T = self._known[name]
        return found

    def begin(self, name: str, work_out: Callable[[Library], _T]) -> Future[_T]:
        """What is worked out behind the page, once; whoever asks for the result is told why there is none."""
        with self._beginning:
            if name not in self._begun:
                self._begun[name] = self._behind.submit(self.once, name, work_out)
            return self._begun[name]


class KeptLibrary:
    """Whoever began to read goes on with the index that was there then: a store is one snapshot."""

    def __init__(self, root: Path, progress: Progress | None = None, shared: str | None = None) -> None:
        """Builds where no index can serve; `shared` is the URL of a shared store, which is only read. Raises
        LibraryNotFound, ModelError and what else a build, or the opening of a shared store, raises."""
        self._root, self._shared, self._building = root, shared, threading.Lock()
        self._troubles: dict[str, str] = {}
        self._lately: dict[str, Any] = {}
        try:
            self._snapshot = self._opened()
        except StoreError:
            if shared is not None:
                raise
            open_library(root).build(progress)
            self._snapshot = self._opened()
        self.stale = bool(self.library.store.changed_files())
        """Whether files are known to have changed since the index was made."""

    def _opened(self) -> _Snapshot:
        return _Snapshot(open_library(self._root, self._shared))

    @property
    def library(self) -> Library:
        """Ask for it once in a request: the next one may be another."""
        return self._snapshot.library

    @property
    def trouble(self) -> str | None:
        """Why the index is not, or may not stay, up to date."""
        return " ".join(f"{what}: {why}." for what, why in tuple(self._troubles.items())) or None

    @property
    def problems(self) -> tuple[Problem, ...]:
        """What of the files could not be read into the index."""
        return self._snapshot.problems

    def once(self, name: str, work_out: Callable[[Library], _T]) -> _T:
        """What takes long to work out, kept as long as the index is; who asks for the same name meanwhile waits."""
        return self._snapshot.once(name, work_out)

    def lately(self, name: str, work_out: Callable[[Library], _T]) -> tuple[_T, bool]:
        """As `once`, for what takes many seconds, with whether it is of the index as it is: of a new one it is worked
        out behind what was known of the one before, which is given until then."""
        begun = self._snapshot.begin(name, work_out)
        if name in self._lately and not begun.done():
            earlier: _T = self._lately[name]
            return earlier, False
        found = self._lately[name] = begun.result()
        return found, True

    def known_within(self, seconds: float, name: str, work_out: Callable[[Library], object]) -> bool:
        """Whether `lately` answers without more waiting than this; else it goes on being worked out."""
        return name in self._lately or bool(wait([self._snapshot.begin(name, work_out)], seconds).done)

    def renew(self) -> None:
        """Brings the index up to date and shows it from then on; where that fails `trouble` says why."""
        with self._building:
            stale = False
            try:
                if self._shared is None:
                    open_library(self._root).build()
                if not self.library.store.is_latest:
                    self._snapshot = self._opened()
                stale = self._shared is not None and bool(self.library.store.changed_files())
                self._troubles.pop(_NOT_RENEWED, None)
            except FightnotesError as error:
                self._troubles[_NOT_RENEWED] = str(error)
            except Exception:  # whatever it is, the next change may be read again
                LOG.exception(_NOT_RENEWED)
                self._troubles[_NOT_RENEWED] = _UNFORESEEN
            self.stale = stale

    def follow_changes(self) -> None:
        """Renews when it begins, as files may have come since the last build, and whenever a text file changes or
        another process builds. Ends where no changes can be watched any more, which `trouble` says."""
        if self._shared is not None:
            self._follow_shared()
        try:
            for changed in self.library.changes(index_too=True):
                texts = [path for path in changed if path != self.library.index_file]
                self.stale = self.stale or bool(texts)
                if texts or not changed or not self.library.store.is_latest:
                    self.renew()
        except FightnotesError as error:
            self._troubles[_NOT_NOTICED] = str(error)
        except Exception:
            LOG.exception(_NOT_NOTICED)
            self._troubles[_NOT_NOTICED] = _UNFORESEEN

    def _follow_shared(self) -> NoReturn:
        """A shared store is asked again and again: it tells nobody that it changed."""
        while True:
            if not self.library.store.is_latest:
                self.renew()
            time.sleep(_ASKED_EVERY)
