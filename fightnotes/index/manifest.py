"""`manifest.json`: which files are the store, and what each must be. Its replacement is what makes a build count."""

from __future__ import annotations

import hashlib
import json
import os
from pathlib import Path
from typing import NamedTuple

from pydantic import ValidationError

from fightnotes.errors import StoreError, StoreMissing, StoreOutdated, StoreTorn
from fightnotes.index.layout import EARLIER_HEADS, SCHEMA_VERSION, Layout
from fightnotes.model import Record
from fightnotes.reading.opening import read_ordinary


class StoredFile(Record):
    """A file as it was when it was finished."""

    name: str
    size: int
    """Bytes."""
    sha256: str


class VectorFiles(NamedTuple):
    vectors: StoredFile
    codes: StoredFile | None
    """Of very many vectors."""
    recent: StoredFile | None
    """What came to these vectors and went from them since the codes were made."""


class Manifest(Record):
    schema_version: int
    model: str
    """Identity of the model that made the vectors."""
    database: StoredFile
    vectors: StoredFile
    codes: StoredFile | None = None
    recent: StoredFile | None = None

    @property
    def vector_files(self) -> VectorFiles:
        return VectorFiles(self.vectors, self.codes, self.recent)

    @property
    def parts(self) -> tuple[StoredFile, ...]:
        """All files of the store."""
        return tuple(part for part in (self.database, *self.vector_files) if part)


def read_manifest(layout: Layout) -> Manifest:
    """Raises StoreMissing, StoreTorn, or StoreOutdated for a store of another schema."""
    outdated = f"this program's is {SCHEMA_VERSION}"
    try:
        raw, _ = read_ordinary(layout.manifest)
    except FileNotFoundError:
        if any(layout.file(name).exists() for name in EARLIER_HEADS):
            raise StoreOutdated(f"the store has one of the first schemas, {outdated}") from None
        raise StoreMissing(f"this library has no index yet: run `fightnotes build --library {layout.root}`") from None
    except OSError as error:
        raise StoreError(f"{layout.manifest} cannot be read ({error.strerror})") from error
    try:
        found = json.loads(raw)
        version = found["schema_version"]
        if type(version) is not int:
            raise TypeError("a schema is a whole number")
        if version != SCHEMA_VERSION:
            raise StoreOutdated(f"the store has schema {version}, {outdated}")
        return Manifest.model_validate(found)
    except (ValueError, TypeError, KeyError, ValidationError) as error:
        raise StoreTorn(f"{layout.manifest} is damaged") from error


def write_manifest(layout: Layout, manifest: Manifest) -> None:
    """From here on readers see the new store."""
    written = layout.manifest.with_suffix(".part")
    written.write_text(manifest.model_dump_json(indent=1, exclude_none=True), encoding="utf-8")
    settle(written, layout.manifest)


def settle(written: Path, path: Path) -> None:
    """Gives a finished file its name once all its bytes are on the disk, and the name too when this returns."""
    sync(written)
    written.replace(path)
    if os.name != "nt":  # Windows opens no folder
        sync(path.parent)


def stored_file(path: Path) -> StoredFile:
    """Reads the whole file."""
    return StoredFile(name=path.name, size=path.stat().st_size, sha256=file_digest(path))


def file_digest(path: Path) -> str:
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def check_size(folder: Path, part: StoredFile) -> None:
    """Cheap enough for every query. Raises StoreTorn where the file is missing or cut short."""
    path = folder / part.name
    try:
        size = path.stat().st_size
    except OSError as error:
        raise StoreTorn(f"{path} cannot be read ({error.strerror})") from error
    if size != part.size:
        raise StoreTorn(f"{path} is damaged: it has {size} bytes and should have {part.size}")


def check_content(folder: Path, part: StoredFile) -> None:
    """Reads every byte. Raises StoreTorn where one differs."""
    check_size(folder, part)
    if stored_file(folder / part.name) != part:
        raise StoreTorn(f"{folder / part.name} is damaged: it is not what the build wrote")


def sync(path: Path) -> None:
    """Returns when the disk has what was written to a file, or to a folder's list of names."""
    handle = os.open(path, os.O_RDONLY if path.is_dir() else os.O_RDWR)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
