"""Files that appear whole or not at all."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from fightnotes.errors import ExportError


@contextmanager
def made_whole(path: Path) -> Iterator[Path]:
    """A place to write in; renamed to `path` when the block ends, and gone when it raises.

    The place has the suffix of `path` and lies alone in a hidden folder beside it, which may take other scratch
    files too. Raises ExportError where the folder of `path` cannot be written.
    """
    try:
        with tempfile.TemporaryDirectory(prefix=f".{path.name}.", dir=path.parent) as folder:
            made = Path(folder) / f"made{path.suffix}"
            yield made
            with made.open("rb+") as written:
                os.fsync(written.fileno())
            made.replace(path)
    except OSError as error:
        raise ExportError(f"{path} cannot be written: {error.strerror or error}") from error


def write_whole(path: Path, text: str) -> None:
    """UTF-8, line ends as they are. Raises ExportError as `made_whole` does."""
    with made_whole(path) as made:
        made.write_bytes(text.encode())
