"""A built copy of a library, so that the one in the repository stays as it is."""

from __future__ import annotations

import shutil
from pathlib import Path

from fightnotes.index.build import build


def built_copy(source: Path, folder: Path) -> Path:
    root = folder / source.name
    shutil.copytree(source, root, ignore=shutil.ignore_patterns(".fightnotes"))
    build(root)
    return root
