"""Which of a shared store's files differ on the machine of whoever reads it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from pathlib import Path

from fightnotes.index.changes import MISSING, digest_of


def changed_here(root: Path, files: Iterable[tuple[str, int, str]], settings: Mapping[str, str]) -> list[str]:
    """Paths that differ from what was indexed; none, where none of them is below `root` at all.

    `files` are path, size and digest of the bouts' files, `settings` the digests of the library's own. Files of the
    size that they had are read.
    """
    stamps = [*files]
    if not any((root / path).exists() for path in (*settings, *(path for path, _, _ in stamps))):
        return []
    changed = {path for path, digest in settings.items() if digest_of(root / path) != digest}
    changed |= {path for path, size, digest in stamps if not is_as_indexed(root / path, size, digest)}
    return sorted(changed)


def is_as_indexed(path: Path, size: int, digest: str) -> bool:
    """Whether a file has the content that it had, or is as little there."""
    try:
        there = path.stat().st_size
    except OSError:
        return size == MISSING
    return there == size and digest_of(path) == digest
