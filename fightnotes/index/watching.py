"""Watching a library's text files for changes."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from fightnotes.editing.undo_file import FOLDER
from fightnotes.errors import FightnotesError, LibraryNotFound
from fightnotes.index.layout import Layout
from fightnotes.reading.captions import READERS
from fightnotes.reading.file_names import CUTS_FOLDER

_TEXTS = frozenset({".md", ".yaml", *READERS})
_WAKE = 200
"""Milliseconds after which watching is known to have begun."""


def changes(root: Path, *, index_too: bool = False) -> Iterator[tuple[str, ...]]:
    """First nothing, when the watching has begun; then, whenever text files came, went or changed, which ones.

    Paths are relative to the library. `index_too` tells of the manifest as well, when a build put another index in its
    place or somebody deleted it. Several changes within a moment are one. Never ends by itself; the interrupt key
    raises KeyboardInterrupt. Raises LibraryNotFound where the folder goes, FightnotesError where it cannot be watched.
    """
    index = Layout(root).manifest if index_too else None
    begun = False
    for found in _noticed(root):
        changed = {path for path in found if path == index or _counts(path.relative_to(root))}
        if changed or not begun:
            yield tuple(sorted(path.relative_to(root).as_posix() for path in changed))
        begun = True


def _noticed(root: Path) -> Iterator[set[Path]]:
    """What changed below a folder; nothing, each time that it was quiet for a while."""
    from watchfiles import watch

    try:
        for found in watch(root, watch_filter=None, yield_on_timeout=True, rust_timeout=_WAKE):
            if not root.is_dir():
                raise LibraryNotFound(f"the folder {root} is gone")
            yield {Path(name) for _, name in found}
    except (OSError, RuntimeError) as error:  # the latter is the base of watchfiles' own
        raise FightnotesError(f"changes of {root} cannot be watched: {error}") from error


def _counts(path: Path) -> bool:
    """Whether a build may read it: cut lists, and what programs keep for themselves, are left out."""
    if path.parts[:1] == (CUTS_FOLDER,) and path.suffix == ".yaml":
        return False
    own = path.parts[:1] == (FOLDER,) or any(part.startswith(".") for part in path.parts)
    return path.suffix.lower() in _TEXTS and not own
