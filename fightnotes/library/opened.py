"""A library held open: its files, its index, and what a person has to know of both."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING

from fightnotes.errors import LibraryNotFound, StoreError

if TYPE_CHECKING:  # a script that only builds need not load what only a search needs
    from fightnotes.index.build import BuildReport
    from fightnotes.index.progress import Progress
    from fightnotes.index.store import Store
    from fightnotes.reading.library import LibraryReading


class Opened:
    """Reads the text files it is asked about when it is asked; the index stays open from the first query on."""

    def __init__(self, root: Path, shared: str | None = None) -> None:
        """`shared` is the URL of the store that a team shares. Raises LibraryNotFound, UsageError for no such URL."""
        if not root.is_dir():
            raise LibraryNotFound(f"there is no folder {root}")
        if shared is not None:
            from fightnotes.index.shared.url import place_of

            place_of(shared)
        self._root, self.shared = root.resolve(), shared
        self._notices: dict[str, None] = {}

    @property
    def root(self) -> Path:
        """The library's folder. A change that a killed run left half made is settled before anyone goes there."""
        from fightnotes.editing.journal import settle

        self._notices |= dict.fromkeys(settle(self._root))
        return self._root

    def take_notices(self) -> tuple[str, ...]:
        """What became of changes that were cut off, and what a person must do about them, since last asked."""
        _ = self.root
        taken, self._notices = tuple(self._notices), {}
        return taken

    @cached_property
    def store(self) -> Store:
        """The index as the last build left it, or the shared one as it is when it is first asked for.

        Raises StoreMissing, StoreOutdated, StoreTorn or, of a shared one, StoreUnreachable.
        """
        if self.shared is not None:
            from fightnotes.index.shared.store import SharedStore

            return SharedStore(self.root, self.shared)
        from fightnotes.index.local_store import LocalStore

        return LocalStore(self.root)

    def read(self) -> LibraryReading:
        """All that the text files say now, without the index."""
        from fightnotes.reading.library import read_library

        return read_library(self.root)

    def lines_of(self, file: str) -> list[str]:
        """The lines of a text file of the library as they stand now, without endings. Raises UnreadableFile."""
        from fightnotes.editing.line_edit import lines_of, read_exact

        return [line.rstrip("\r\n") for line in lines_of(read_exact(self.root / file))]

    def build(self, progress: Progress | None = None) -> BuildReport:
        """Brings the index up to date, and then the shared store, if one is named; what is wrong in the files is in the
        report. Raises as `index.build.build` and `index.shared.publishing.publish` do."""
        from fightnotes.index.build import build

        report = build(self.root, progress)
        if self.shared is not None:
            from fightnotes.index.progress import Silent
            from fightnotes.index.shared.publishing import publish

            published = publish(self.root, self.shared, Silent() if progress is None else progress)
            report = report.model_copy(update={"shared": published})
        self.__dict__.pop("store", None)  # the next query opens the new one
        return report

    def changes(self, *, index_too: bool = False) -> Iterator[tuple[str, ...]]:
        """First nothing, when the watching has begun; then, each time, which text files changed, and with `index_too`
        the index's manifest, also where another process built. Never ends; raises as `index.watching.changes` does.
        """
        from fightnotes.index.watching import changes

        return changes(self.root, index_too=index_too)

    @property
    def index_file(self) -> str:
        """The file, relative to the library, that `changes` tells of when another index is put in its place."""
        from fightnotes.index.layout import Layout

        return Layout(self._root).manifest.relative_to(self._root).as_posix()

    def notices(self) -> tuple[str, ...]:
        """What a person has to know beside any answer: an index older than the files, a vocabulary without concepts."""
        from fightnotes.reading.file_names import VOCABULARY_FILE

        try:
            changed, vocabulary = self.store.changed_files(), self.store.vocabulary
        except StoreError:  # whoever needs the index says so
            from fightnotes.reading.library import read_configuration

            changed, vocabulary = [], read_configuration(self.root).vocabulary
        others = [file for file in changed if file != VOCABULARY_FILE]
        notices = [f"files changed since the last build: {len(others)}; run `fightnotes build`"] if others else []
        if VOCABULARY_FILE in changed:
            notices.append("the vocabulary changed since the last build: run `fightnotes build`")
        elif not vocabulary.concepts:
            notices.append(
                "the vocabulary is empty: see `fightnotes propose` for terms of your own notes, "
                "`fightnotes vocabulary start` for plain words of the trade"
            )
        return tuple(notices)

    def _write_output(self, path: Path, content: str | bytes) -> None:
        from fightnotes.editing.atomic import write_file
        from fightnotes.editing.own_files import may_write, own_files
        from fightnotes.reading.library import read_bouts, read_configuration

        configuration = read_configuration(self.root)
        may_write(path, own_files(self.root, read_bouts(self.root, configuration), configuration.settings))
        write_file(path, content.encode() if isinstance(content, str) else content)
