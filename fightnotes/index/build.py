"""The incremental build: from the library's text files to the derived store.

Everything is written inside one database transaction, and the vectors to a file of a new name that the
transaction makes known: killed at any instant, the next run finds the old store or the new one.
"""

from __future__ import annotations

import hashlib
import json
import shutil
import sqlite3
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

import faiss
import filelock
import numpy as np

from fightnotes.errors import Problem, StoreMissing, StoreOutdated, StoreTorn
from fightnotes.index.changes import Changes, find_changes, stamp_of
from fightnotes.index.database import count_rows, create, open_for_writing, read_meta, translated, write_meta
from fightnotes.index.encoder import Encoder
from fightnotes.index.export import export_encoder
from fightnotes.index.layout import SCHEMA_VERSION, Layout
from fightnotes.index.model_source import ModelSource, locate_model
from fightnotes.index.progress import Progress, Silent
from fightnotes.index.records import (
    add_bout,
    add_bout_record,
    add_problems,
    all_problems,
    concept_text,
    key_of,
    remove_bout,
)
from fightnotes.index.vector_file import new_vectors, read_vectors, vectors_of, write_vectors
from fightnotes.model import Bout, Record
from fightnotes.reading.captions import READERS
from fightnotes.reading.library import BoutReading, Ground, bout_files, read_bout, read_ground, same_id

_ENCODE_AT_ONCE = 4096


class BuildReport(Record):
    """What a build did."""

    rebuilt_because: str | None
    """Why nothing of an older store was used; None where it was."""
    bouts: int
    segments: int
    files_read: int
    bouts_unchanged: int
    moved: tuple[str, ...]
    """Bout files that stand elsewhere than before, with the same content."""
    removed: tuple[str, ...]
    embedded: int
    """Texts that went through the encoder: new ones, each once."""
    reused: int
    """Segments written again whose text had a vector already."""
    problems: tuple[Problem, ...]
    unclaimed: tuple[str, ...]
    """Transcripts that no bout's front matter names: they are not in the index."""


@dataclass
class _Work:
    """One build under way."""

    root: Path
    layout: Layout
    ground: Ground
    model: ModelSource
    connection: sqlite3.Connection
    vectors: faiss.IndexIDMap2
    encoder: Encoder
    progress: Progress


def build(root: Path, progress: Progress | None = None) -> BuildReport:
    """Brings `.fightnotes/` up to date with the library's files; bad files are reported and the rest is indexed.

    Waits while another build of the same library runs. Raises ModelError where there is no model to embed with.
    """
    told: Progress = progress or Silent()
    layout = Layout(root)
    layout.folder.mkdir(exist_ok=True)
    lock = filelock.FileLock(layout.lock)
    try:
        lock.acquire(timeout=0)
    except filelock.Timeout:
        told.say("another build of this library is running: waiting for it to end")
        lock.acquire()
    try:
        return _build_alone(root, layout, told)
    finally:
        lock.release()


def _build_alone(root: Path, layout: Layout, progress: Progress) -> BuildReport:
    ground = read_ground(root)
    model = locate_model(ground.settings.model, root)
    encoder = _ready_encoder(layout, model, progress)
    try:
        connection, vectors = _open_store(layout, model)
        report = _write(_Work(root, layout, ground, model, connection, vectors, encoder, progress), None)
    except (StoreMissing, StoreOutdated, StoreTorn) as error:
        if not isinstance(error, StoreMissing):
            progress.say(f"building anew: {error}")
        layout.new_database.unlink(missing_ok=True)
        connection, vectors = create(layout.new_database), new_vectors(encoder.dimension)
        report = _write(_Work(root, layout, ground, model, connection, vectors, encoder, progress), str(error))
        layout.new_database.replace(layout.database)
    _sweep(layout, model)
    return report


def _ready_encoder(layout: Layout, model: ModelSource, progress: Progress) -> Encoder:
    folder = layout.encoder(model.identity)
    if folder.exists():
        try:
            return Encoder(folder)
        except StoreTorn as error:
            progress.say(str(error))
    progress.say(f"exporting the encoder from {model.name} (once)")
    export_encoder(model, folder)
    return Encoder(folder)


def _open_store(layout: Layout, model: ModelSource) -> tuple[sqlite3.Connection, faiss.IndexIDMap2]:
    """The store to go on from. Raises StoreMissing, StoreOutdated or StoreTorn where there is none such."""
    if not layout.database.exists():
        raise StoreMissing("there was no store yet")
    connection = open_for_writing(layout.database)
    try:
        meta = read_meta(connection)
        if meta["model"] != model.identity:
            raise StoreOutdated("the embedding model is another than the one the store was made with")
        vectors = read_vectors(layout.vectors(meta["vectors"]))
        if vectors.ntotal != count_rows(connection, "segments"):
            raise StoreTorn(f"{meta['vectors']} and the database do not belong together")
    except BaseException:
        connection.close()
        raise
    return connection, vectors


def _write(work: _Work, reason: str | None) -> BuildReport:
    try:
        with translated(work.layout.database):
            report = _bring_up_to_date(work, reason)
            work.connection.commit()
        return report
    finally:
        work.connection.close()


def _bring_up_to_date(work: _Work, reason: str | None) -> BuildReport:
    connection, ground = work.connection, work.ground
    meta = read_meta(connection) if reason is None else {}
    fingerprint = _fingerprint(ground)
    files = bout_files(work.root)
    changes = find_changes(work.root, files, connection, all_again=meta.get("ground") != fingerprint)
    readings = _read(work, changes)
    moved = _moved(connection, changes, work.root)
    files_read, embedded, reused = _replace_bouts(work, changes, readings)
    connection.execute("DELETE FROM problems WHERE bout_file = ''")
    add_problems(connection, "", ground.problems)
    _embed_concepts(work)
    name = meta.get("vectors")
    if name is None or readings or changes.removed:
        name = _next_name(name)
        write_vectors(work.vectors, work.layout.vectors(name))
    write_meta(
        connection,
        {
            "schema": str(SCHEMA_VERSION),
            "model": work.model.identity,
            "ground": fingerprint,
            "vectors": name,
            "settings": ground.settings.model_dump_json(),
            "vocabulary": ground.vocabulary.model_dump_json(),
        },
    )
    return BuildReport(
        rebuilt_because=reason,
        bouts=count_rows(connection, "bouts"),
        segments=count_rows(connection, "segments"),
        files_read=files_read,
        bouts_unchanged=len(changes.unchanged),
        moved=moved,
        removed=tuple(file for file in changes.removed if file not in moved),
        embedded=embedded,
        reused=reused,
        problems=tuple(all_problems(connection)),
        unclaimed=_unclaimed(work.root, connection),
    )


def _read(work: _Work, changes: Changes) -> dict[str, BoutReading]:
    """The bouts to be read again, by file; with them every bout that shares an id with one of them."""
    readings: dict[str, BoutReading] = {}
    work.progress.begin("Reading", len(changes.read_again))
    for file in changes.read_again:
        readings[file] = read_bout(work.root, file, work.ground)
        work.progress.advance(1)
    ids = {reading.bout.id for reading in readings.values() if reading.bout}
    for file, identity in work.connection.execute("SELECT file, id FROM bouts WHERE NOT duplicate"):
        if identity in ids and file in changes.unchanged:
            changes.unchanged.remove(file)
            readings[file] = read_bout(work.root, file, work.ground)
    return readings


def _moved(connection: sqlite3.Connection, changes: Changes, root: Path) -> tuple[str, ...]:
    """Removed bout files whose content a new file has."""
    if not changes.removed:
        return ()
    known = dict(connection.execute("SELECT bout_file, digest FROM files WHERE path = bout_file"))
    fresh = {stamp_of(root, file).digest for file in changes.read_again if file not in known}
    return tuple(file for file in changes.removed if known.get(file) in fresh)


def _replace_bouts(work: _Work, changes: Changes, readings: dict[str, BoutReading]) -> tuple[int, int, int]:
    """Old rows out, new rows in, vectors moved over or made; gives files read, texts embedded, vectors reused."""
    connection = work.connection
    old_ids: dict[bytes, int] = {}
    gone: list[int] = []
    for file in (*changes.removed, *readings):
        ids = remove_bout(connection, file)
        old_ids |= ids
        gone.extend(ids.values())
    for bout_file, stamp in changes.touched:
        connection.execute(
            "UPDATE files SET mtime_ns = ?, size = ? WHERE bout_file = ? AND path = ?",
            (stamp.mtime_ns, stamp.size, bout_file, stamp.path),
        )
    first_with_id: dict[str, Bout] = {}
    new: list[tuple[int, bytes, str]] = []
    files_read = 0
    for file, reading in sorted(readings.items()):
        bout = reading.bout
        stamps = [stamp_of(work.root, path) for path in _paths(file, bout)]
        files_read += len(stamps)
        if bout and bout.id in first_with_id:
            reading = BoutReading(None, (), (same_id(bout, first_with_id[bout.id].file),))  # noqa: PLW2901
            add_bout(connection, file, reading, stamps, work.ground.vocabulary)
            add_bout_record(connection, bout, duplicate=True)
            continue
        if bout:
            first_with_id[bout.id] = bout
        new.extend(add_bout(connection, file, reading, stamps, work.ground.vocabulary))
    embedded, reused = _give_vectors(work, new, old_ids)
    if gone:
        work.vectors.remove_ids(faiss.IDSelectorBatch(np.asarray(gone, dtype=np.int64)))
    return files_read, embedded, reused


def _paths(file: str, bout: Bout | None) -> Iterable[str]:
    return dict.fromkeys((file, *(source.file for source in bout.sources))) if bout else (file,)


def _give_vectors(work: _Work, new: list[tuple[int, bytes, str]], old_ids: dict[bytes, int]) -> tuple[int, int]:
    """A vector for each new segment: that of the same text where there is one, else the encoder's."""
    numbers = {number for number, _, _ in new}
    source: dict[bytes, int] = {}
    for _, key, _ in new:
        if key in old_ids:
            source[key] = old_ids[key]
        else:
            found_ids = work.connection.execute("SELECT id FROM segments WHERE key = ?", (key,))
            known = next((row[0] for row in found_ids if row[0] not in numbers), None)
            if known is not None:
                source[key] = known
    reused = [(number, source[key]) for number, key, _ in new if key in source]
    if reused:
        found = vectors_of(work.vectors, [old for _, old in reused])
        work.vectors.add_with_ids(found, np.asarray([number for number, _ in reused], dtype=np.int64))
    texts = {key: text for _, key, text in new if key not in source}
    by_key: dict[bytes, list[int]] = {key: [] for key in texts}
    for number, key, _ in new:
        if key in by_key:
            by_key[key].append(number)
    work.progress.begin("Embedding", len(texts))
    waiting = sorted(texts, key=lambda key: len(texts[key]), reverse=True)
    for begin in range(0, len(waiting), _ENCODE_AT_ONCE):
        keys = waiting[begin : begin + _ENCODE_AT_ONCE]
        made = work.encoder.encode([texts[key] for key in keys], work.progress.advance)
        rows = [row for row, key in enumerate(keys) for _ in by_key[key]]
        ids = [number for key in keys for number in by_key[key]]
        work.vectors.add_with_ids(made[rows], np.asarray(ids, dtype=np.int64))
    return len(texts), len(reused)


def _embed_concepts(work: _Work) -> None:
    """A vector for each concept; those whose label and definition stand as before keep theirs."""
    connection = work.connection
    known = dict(connection.execute("SELECT key, vector FROM concepts"))
    texts = {concept.id: concept_text(concept) for concept in work.ground.vocabulary.concepts}
    fresh = [text for text in dict.fromkeys(texts.values()) if key_of(text) not in known]
    made = work.encoder.encode(fresh) if fresh else ()
    known |= {key_of(text): vector.tobytes() for text, vector in zip(fresh, made, strict=True)}
    connection.execute("DELETE FROM concepts")
    connection.executemany(
        "INSERT INTO concepts (id, key, vector) VALUES (?, ?, ?)",
        [(identity, key_of(text), known[key_of(text)]) for identity, text in texts.items()],
    )


def _fingerprint(ground: Ground) -> str:
    """Of all that a bout's segments depend on beside the bout's own files."""
    settings = ground.settings
    parts = [
        settings.model_dump_json(include={"rounds", "default_length", "outcomes", "fighters"}),
        json.dumps([[concept.id, concept.label, *concept.also] for concept in ground.vocabulary.concepts]),
        json.dumps(sorted((label, found[0]) for label, found in ground.vocabulary.by_label.items())),
    ]
    return hashlib.sha256("\n".join(parts).encode()).hexdigest()


def _unclaimed(root: Path, connection: sqlite3.Connection) -> tuple[str, ...]:
    claimed = {row[0] for row in connection.execute("SELECT path FROM files")}
    lying = (
        path.relative_to(root).as_posix()
        for path in (root / "transcripts").rglob("*")
        if path.suffix.lower() in READERS
    )
    return tuple(sorted(path for path in lying if path not in claimed))


def _next_name(name: str | None) -> str:
    number = int(name.removeprefix("vectors-").removesuffix(".faiss")) + 1 if name else 1
    return f"vectors-{number}.faiss"


def _sweep(layout: Layout, model: ModelSource) -> None:
    """Takes away what the store no longer uses."""
    connection = open_for_writing(layout.database)
    try:
        current = read_meta(connection)["vectors"]
    finally:
        connection.close()
    for path in layout.folder.glob("vectors-*"):
        if path.name != current:
            path.unlink(missing_ok=True)
    for folder in layout.folder.glob("encoder-*"):
        if folder != layout.encoder(model.identity):
            shutil.rmtree(folder, ignore_errors=True)
