"""A built library many times over, for sizes that take hours to read and to embed.

Each copy is a folder of notes beside those that are there, under other names, and rows of the store beside theirs: the
tags are the same, and the texts but for the word that ends each, as nobody writes all of his notes ten times over; so
the words of a query are as common as before. The vectors are made up: that of a copy is its own text's, mixed with that
of another segment by chance, and noise. They keep the neighbourhoods that real vectors have.
"""

from __future__ import annotations

import shutil
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import numpy as np

from fightnotes.index.changes import stamp_of
from fightnotes.index.database import Connection, open_draft
from fightnotes.index.encoder import Vectors
from fightnotes.index.layout import Layout
from fightnotes.index.manifest import StoredFile, read_manifest, stored_file, write_manifest
from fightnotes.index.records import key_of
from fightnotes.index.vector_file import Ids, add_vectors, new_vectors, read_vectors, vectors_of
from fightnotes.index.vector_parts import VectorParts, write_parts

OTHER, NOISE = 0.4, 0.2
"""Lengths of the other segment's vector, and of the noise, that are mixed into a vector of length 1."""
_NAME = "bout-"
"""What the names of files and bouts of a made library begin with, and nothing else in it."""
_END = " times."
"""What each of its texts ends with; as long in the copies, where it is another word."""


def multiply(root: Path, target: Path, copies: int) -> None:
    """Writes a library `copies` times as large, with its store. `root` is made by `made_library`, and built."""
    shutil.copytree(root, target)
    layout = Layout(target)
    manifest = read_manifest(layout)
    index = read_vectors(layout.file(manifest.vectors.name))
    with closing(open_draft(layout.file(manifest.database.name))) as connection:
        connection.create_function("key_of", 1, key_of, deterministic=True)
        ids = _numbers(connection, "segments")
        passages = _numbers(connection, "passages")
        real = vectors_of(index, np.concatenate([ids, passages]))
        for copy in range(1, copies):
            begin = copy * (int(ids[-1]) + 1)
            later = copy * len(passages) * 2
            _copy_notes(root, target, copy)
            _copy_rows(connection, target, copy, begin, later, int(ids[-1]))
            add_vectors(index, _made_up(real, copy), np.concatenate([ids + begin, passages + later]))
            connection.commit()

    def finish(name: str, write: Callable[[Path], None]) -> StoredFile:
        path = layout.file(name.format(1))
        write(path)
        return stored_file(path)

    parts = VectorParts(index, new_vectors(index.d))
    files = write_parts(parts, None, copies * len(ids), finish)
    database = stored_file(layout.file(manifest.database.name))
    write_manifest(layout, manifest.model_copy(update={"database": database, **files._asdict()}))


def _numbers(connection: Connection, table: str) -> Ids:
    rows = connection.execute(f"SELECT id FROM {table} ORDER BY id").fetchall()
    return np.array(rows, dtype=np.int64).reshape(-1)


def _made_up(real: Vectors, seed: int) -> Vectors:
    chance = np.random.default_rng(seed)
    noise = chance.standard_normal(real.shape, dtype=np.float32) / np.sqrt(real.shape[1])
    mixed = real + OTHER * real[chance.permutation(len(real))] + NOISE * noise.astype(np.float32)
    unit: Vectors = mixed / np.linalg.norm(mixed, axis=1, keepdims=True)
    return unit.astype(np.float32)


def _renamed(text: str, copy: int) -> str:
    return text.replace(_NAME, f"c{copy}-{_NAME}").replace(_END, _end(copy))


def _end(copy: int) -> str:
    return f" time{copy}."


def _copy_notes(root: Path, target: Path, copy: int) -> None:
    for path in sorted((root / "bouts").rglob("*.md")):
        name = _renamed(path.relative_to(root).as_posix(), copy)
        (target / name).write_text(_renamed(path.read_text(encoding="utf-8"), copy), encoding="utf-8")


def _copy_rows(connection: Connection, target: Path, copy: int, begin: int, later: int, last: int) -> None:
    """Rows of the first `last` segments again, segments by `begin` and passages by `later` higher."""

    def again(table: str, changed: dict[str, str], where: str) -> None:
        columns = [row[1] for row in connection.execute(f"PRAGMA table_info({table})")]
        columns = ["rowid", *columns[:2]] if table == "words" else columns
        given = ", ".join(changed.get(column, f'"{column}"') for column in columns)
        names = ", ".join(f'"{column}"' for column in columns)
        connection.execute(f"INSERT INTO {table} ({names}) SELECT {given} FROM {table} WHERE {where}")

    def name(column: str) -> str:
        return f"replace({column}, '{_NAME}', 'c{copy}-{_NAME}')"

    def text(column: str) -> str:
        return f"replace({column}, '{_END}', '{_end(copy)}')"

    first_of = f"instr({{}}, '/{_NAME}')"
    again("bouts", {column: name(column) for column in ("file", "id", "record")}, first_of.format("file"))
    files = connection.execute(f"SELECT path FROM files WHERE {first_of.format('path')}").fetchall()
    stamps = [stamp_of(target, _renamed(path, copy)) for (path,) in files]
    connection.executemany(
        "INSERT INTO files (bout_file, path, size, mtime_ns, digest) VALUES (?, ?, ?, ?, ?)",
        [(stamp.path, stamp.path, stamp.size, stamp.mtime_ns, stamp.digest) for stamp in stamps],
    )
    said = text("json_extract(record, '$.text')")
    segments = {
        "bout_file": name("bout_file"),
        "bout": name("bout"),
        "record": text(name("record")),
        "key": f"key_of({said})",
    }
    again("segments", {"id": f"id + {begin}", **segments}, f"id <= {last}")
    again("acts", {"segment": f"segment + {begin}"}, f"segment <= {last}")
    again("passages", {"id": f"id + {later}", "segment": f"segment + {begin}"}, f"segment <= {last}")
    again("words", {"rowid": f"rowid + {begin}", "text": text("text")}, f"rowid <= {last}")
