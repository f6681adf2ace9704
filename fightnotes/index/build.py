"""The incremental build: from the library's text files to the derived store.

A build works on a copy of the store's database and writes files of new names; `head.json`, replaced last,
makes them the store. Killed at any instant, the next run finds the old store or the new one, and whoever
reads the old one goes on reading it.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

import filelock

from fightnotes.errors import Problem, StoreError, StoreMissing, StoreOutdated, StoreTorn
from fightnotes.index.changes import Changes, find_changes
from fightnotes.index.database import count_rows, open_finished, read_meta
from fightnotes.index.encoder import Encoder
from fightnotes.index.export import export_encoder
from fightnotes.index.head import Head, check_content, read_head
from fightnotes.index.layout import Layout
from fightnotes.index.model_source import ModelSource
from fightnotes.index.progress import Progress, Silent
from fightnotes.index.records import all_problems, general_problems
from fightnotes.index.survey import Survey, survey_library
from fightnotes.index.write_store import Counts, sweep, write_store
from fightnotes.model import Record


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
    """Texts of segments that went through the encoder: new ones, each once."""
    reused: int
    """Segments written again whose text had a vector already."""
    problems: tuple[Problem, ...]
    unclaimed: tuple[str, ...]
    """Transcripts that no bout's front matter names: they are not in the index."""


def build(root: Path, progress: Progress | None = None) -> BuildReport:
    """Brings `.fightnotes/` up to date with the library's files; bad files are reported and the rest is indexed.

    Waits while another build of the same library runs. Raises ModelError where there is no model to embed with,
    StoreError where the store cannot be written; the old store then stays.
    """
    told: Progress = progress or Silent()
    layout = Layout(root)
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
    survey = survey_library(layout.root)
    encoder = _ready_encoder(layout, survey.model, progress)
    head: Head | None = None
    reason: str | None = None
    try:
        head = _sound_head(layout, survey.model)
    except StoreMissing:
        reason = "there was no index yet"
    except (StoreOutdated, StoreTorn) as error:
        reason = str(error)
        progress.say(f"building anew: {reason}")
    counts = Counts()
    if head is None:
        head, counts = write_store(survey, None, Changes(read_again=survey.files), encoder, progress)
    elif (changes := _changes(survey, layout, head)) is not None:
        head, counts = write_store(survey, head, changes, encoder, progress)
    sweep(layout, head)
    with closing(open_finished(layout.file(head.database.name))) as connection:
        return _report(connection, survey, reason, counts)


def _ready_encoder(layout: Layout, model: ModelSource, progress: Progress) -> Encoder:
    folder = layout.encoder(model.identity)
    if folder.exists():
        try:
            return Encoder(folder, model.identity, every_byte=True)
        except (StoreOutdated, StoreTorn) as error:
            progress.say(str(error))
    progress.say(f"exporting the encoder from {model.name} (once)")
    export_encoder(model, folder)
    return Encoder(folder, model.identity)


def _sound_head(layout: Layout, model: ModelSource) -> Head:
    """Of a store to go on from. Raises StoreMissing, StoreOutdated or StoreTorn where there is none such."""
    head = read_head(layout)
    if head.model != model.identity:
        raise StoreOutdated("the embedding model is another than the one the store was made with")
    for part in (head.database, head.vectors):
        check_content(layout.folder, part)
    return head


def _changes(survey: Survey, layout: Layout, head: Head) -> Changes | None:
    """What of the files the store lacks; None where it lacks nothing at all."""
    with closing(open_finished(layout.file(head.database.name))) as connection:
        meta = read_meta(connection)
        changes = find_changes(survey.root, survey.files, connection, all_again=meta["ground"] != survey.meta["ground"])
        same = meta == survey.meta and general_problems(connection) == set(survey.problems)
    return None if same and not changes else changes


def _report(connection: sqlite3.Connection, survey: Survey, reason: str | None, counts: Counts) -> BuildReport:
    claimed = {path for (path,) in connection.execute("SELECT path FROM files")}
    return BuildReport(
        rebuilt_because=reason,
        bouts=count_rows(connection, "bouts"),
        segments=count_rows(connection, "segments"),
        files_read=counts.files_read,
        bouts_unchanged=len(survey.files) - counts.bouts_read,
        moved=counts.moved,
        removed=counts.removed,
        embedded=counts.embedded,
        reused=counts.reused,
        problems=tuple(all_problems(connection)),
        unclaimed=tuple(path for path in survey.transcripts if path not in claimed),
    )
