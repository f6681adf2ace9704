"""The incremental build: from the library's text files to the derived store.

A build works on a copy of the store's database and writes files of new names; `manifest.json`, replaced last,
makes them the store. Killed at any instant, the next run finds the old store or the new one, and whoever
reads the old one goes on reading it.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Collection, Iterator
from contextlib import closing, contextmanager
from pathlib import Path

import filelock

from fightnotes.errors import Problem, StoreError, StoreMissing, StoreOutdated, StoreTorn
from fightnotes.index.changes import Changes, find_changes
from fightnotes.index.database import count_rows, open_finished, read_meta
from fightnotes.index.encoder_cache import ready_encoder
from fightnotes.index.layout import Layout
from fightnotes.index.manifest import Manifest, check_content, read_manifest
from fightnotes.index.model_source import ModelSource
from fightnotes.index.progress import Progress, Silent
from fightnotes.index.records import all_problems, general_problems
from fightnotes.index.scan import Scan, scan_library
from fightnotes.index.shared.published import Published
from fightnotes.index.write_store import Counts, sweep, write_store
from fightnotes.model import Record
from fightnotes.reading.drafted import drafts_in
from fightnotes.reading.opening import allowed_folders, leads_outside


class BuildReport(Record):
    """What a build did."""

    rebuilt_because: str | None
    """Why nothing of an older store was used; None where it was."""
    bouts: int
    segments: int
    by_codes: bool
    """Whether there are so many segments that codes of their vectors are searched first, which may miss one."""
    files_read: int
    bouts_unchanged: int
    moved: tuple[str, ...]
    """Bout files that stand elsewhere than before, with the same content."""
    removed: tuple[str, ...]
    embedded: int
    """Texts of segments that went through the encoder: new ones, each once."""
    reused: int
    """Segments written again whose text had a vector already."""
    problems: tuple[Problem, ...]
    unclaimed: tuple[str, ...]
    """Transcripts that no bout's front matter names: they are not in the index."""
    shared: Published | None = None
    """What came into the shared store, where one is named."""


def build(root: Path, progress: Progress | None = None) -> BuildReport:
    """Brings `.fightnotes/` up to date with the library's files; bad files are reported and the rest is indexed.

    Waits while another build of the same library runs. Raises ModelError where there is no model to embed with,
    StoreError where the store cannot be written; the old store then stays.
    """
    told: Progress = Silent() if progress is None else progress
    layout = Layout(root)
    if leads_outside(layout.folder, allowed_folders(root)):
        raise StoreError(f"{layout.folder} is a link out of the library, and nothing is written there: remove the link")
    try:
        layout.folder.mkdir(exist_ok=True)
        with _alone(layout, told):
            return _build_alone(layout, told)
    except OSError as error:
        where = error.filename or layout.folder
        raise StoreError(f"{where}: {error.strerror or error}; the index is as it was") from error


@contextmanager
def _alone(layout: Layout, progress: Progress) -> Iterator[None]:
    lock = filelock.FileLock(layout.lock)
    try:
        lock.acquire(timeout=0)
    except filelock.Timeout:
        progress.say("another build of this library is running: waiting for it to end")
        lock.acquire()
    try:
        yield
    finally:
        lock.release()


def _build_alone(layout: Layout, progress: Progress) -> BuildReport:
    scan = scan_library(layout.root)
    encoder = ready_encoder(scan.model, progress)
    manifest: Manifest | None = None
    reason: str | None = None
    try:
        manifest = _sound_manifest(layout, scan.model)
    except StoreMissing:
        reason = "there was no index yet"
    except (StoreOutdated, StoreTorn) as error:
        reason = str(error)
        progress.say(f"building anew: {reason}")
    counts = Counts()
    if manifest is None:
        manifest, counts = write_store(scan, None, Changes(read_again=scan.files), encoder, progress)
    elif (changes := _changes(scan, layout, manifest)) is not None:
        manifest, counts = write_store(scan, manifest, changes, encoder, progress)
    sweep(layout, manifest)
    with closing(open_finished(layout.file(manifest.database.name))) as connection:
        return _report(connection, scan, reason, counts, by_codes=manifest.codes is not None)


def _sound_manifest(layout: Layout, model: ModelSource) -> Manifest:
    """Of a store to go on from. Raises StoreMissing, StoreOutdated or StoreTorn where there is none such."""
    manifest = read_manifest(layout)
    if manifest.model != model.identity:
        raise StoreOutdated("the embedding model is another than the one the store was made with")
    for part in manifest.parts:
        check_content(layout.folder, part)
    return manifest


def _changes(scan: Scan, layout: Layout, manifest: Manifest) -> Changes | None:
    """What of the files the store lacks; None where it lacks nothing at all."""
    with closing(open_finished(layout.file(manifest.database.name))) as connection:
        meta = read_meta(connection)
        changes = find_changes(
            scan.root,
            scan.files,
            connection,
            all_again=meta["configuration"] != scan.meta["configuration"],
            unseen=scan.unseen,
        )
        same = meta == scan.meta and general_problems(connection) == set(scan.problems)
    return None if same and not changes else changes


def _report(
    connection: sqlite3.Connection, scan: Scan, reason: str | None, counts: Counts, *, by_codes: bool
) -> BuildReport:
    claimed = {path for (path,) in connection.execute("SELECT path FROM files")}
    return BuildReport(
        rebuilt_because=reason,
        bouts=count_rows(connection, "bouts"),
        segments=count_rows(connection, "segments"),
        by_codes=by_codes,
        bouts_unchanged=len(scan.files) - counts.bouts_read,
        **counts.model_dump(exclude={"bouts_read"}),
        problems=tuple(all_problems(connection)),
        unclaimed=_unclaimed(scan, claimed),
    )


def _unclaimed(scan: Scan, claimed: Collection[str]) -> tuple[str, ...]:
    """Captions that no bout names, nor notes that were drafted from them."""
    left = [path for path in scan.transcripts if path not in claimed]
    folders = allowed_folders(scan.root, scan.configuration.settings.media_roots)
    drafted = drafts_in(scan.root, claimed, folders) if left else {}
    return tuple(path for path in left if path not in drafted)
