"""Watching a library's text files for changes."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from fightnotes.editing.undo_file import FOLDER
from fightnotes.reading.captions import READERS
from fightnotes.reading.file_names import CUTS_FOLDER

_TEXTS = frozenset({".md", ".yaml", *READERS})
_WAKE = 200
"""Milliseconds after which watching is known to have begun."""


def changes(root: Path) -> Iterator[tuple[str, ...]]:
    """First nothing, when the watching has begun; then, whenever text files came, went or changed, which ones.

    Paths are relative to the library. Several changes within a moment are one. Never ends by itself; the interrupt key
    raises KeyboardInterrupt.
    """
    from watchfiles import watch

    begun = False
    for found in watch(root, watch_filter=None, yield_on_timeout=True, rust_timeout=_WAKE):
        changed = {path for _, name in found if _counts(path := Path(name).relative_to(root))}
        if changed or not begun:
            yield tuple(sorted(path.as_posix() for path in changed))
        begun = True


def _counts(path: Path) -> bool:
    """Whether a build may read it: cut lists, and what programs keep for themselves, are left out."""
    if path.parts[:1] == (CUTS_FOLDER,) and path.suffix == ".yaml":
        return False
    own = path.parts[:1] == (FOLDER,) or any(part.startswith(".") for part in path.parts)
    return path.suffix.lower() in _TEXTS and not own
