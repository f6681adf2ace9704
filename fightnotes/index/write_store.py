"""The store's files written: a changed copy of the old ones, or new ones from nothing."""

from __future__ import annotations

import re
import shutil
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

from fightnotes.index.changes import Changes, moved_files
from fightnotes.index.database import Connection, count_rows, create, open_draft, write_meta
from fightnotes.index.encoder import Encoder
from fightnotes.index.give_vectors import embed_concepts, embed_segments
from fightnotes.index.layout import EARLIER_HEADS, SCHEMA_VERSION, Layout
from fightnotes.index.manifest import Manifest, StoredFile, settle, stored_file, write_manifest
from fightnotes.index.progress import Progress
from fightnotes.index.records import replace_general_problems
from fightnotes.index.reread import read_again, replace_bouts
from fightnotes.index.scan import Scan
from fightnotes.index.vector_parts import new_parts, read_parts, write_parts
from fightnotes.model import Record

_KNOWN_TEXTS = "SELECT key, id FROM segments UNION ALL SELECT key, id FROM passages"
"""For each text that has a vector, a segment or passage that has it."""
_NUMBERED = re.compile(r"(?:store|vectors|codes|recent)-(\d+)\.\w+")


class Counts(Record):
    """What was done; nothing, where the store was up to date."""

    files_read: int = 0
    bouts_read: int = 0
    embedded: int = 0
    reused: int = 0
    moved: tuple[str, ...] = ()
    removed: tuple[str, ...] = ()


def write_store(
    scan: Scan, old: Manifest | None, changes: Changes, encoder: Encoder, progress: Progress
) -> tuple[Manifest, Counts]:
    """Makes the new store and puts its manifest in place; until then the old one stays as it is."""
    layout = Layout(scan.root)
    try:
        return _write_store(scan, layout, old, changes, encoder, progress)
    finally:
        for draft in layout.folder.glob("*.part"):
            if draft.is_file():
                draft.unlink()


def _write_store(
    scan: Scan, layout: Layout, old: Manifest | None, changes: Changes, encoder: Encoder, progress: Progress
) -> tuple[Manifest, Counts]:
    number = _next_number(layout)
    draft = layout.file(f"store-{number}.part")
    with closing(_start(draft, layout, old)) as connection:
        known: dict[bytes, int] = dict(connection.execute(_KNOWN_TEXTS))
        moved = moved_files(scan.root, changes, connection)
        found = read_again(scan.root, scan.configuration, changes, connection, progress)
        gone, new = replace_bouts(connection, changes, found, scan.vocabulary)
        replace_general_problems(connection, scan.problems)
        embed_concepts(connection, scan.vocabulary.concepts, encoder)
        write_meta(connection, scan.meta)
        segments = count_rows(connection, "segments")
        connection.commit()
    database = _finish(draft, layout.file(f"store-{number}.sqlite"))
    files, embedded = old.vector_files if old else None, 0

    def finish(name: str, write: Callable[[Path], None]) -> StoredFile:
        draft = layout.file(f"vectors-{number}.part")
        write(draft)
        return _finish(draft, layout.file(name.format(number)))

    if files is None or gone or new:
        vectors = read_parts(layout.folder, files) if files else new_parts(encoder.dimension)
        embedded = embed_segments(new, known, vectors, encoder, progress)
        vectors.remove(gone)
        files = write_parts(vectors, files, segments, finish)
    manifest = Manifest(schema_version=SCHEMA_VERSION, model=scan.model.identity, database=database, **files._asdict())
    write_manifest(layout, manifest)
    return manifest, Counts(
        files_read=sum(len(one.stamps) for one in found.values()),
        bouts_read=len(found),
        embedded=embedded,
        reused=sum(segment.key in known for segment in new),
        moved=moved,
        removed=tuple(file for file in changes.removed if file not in moved),
    )


def sweep(layout: Layout, manifest: Manifest) -> None:
    """Takes away what no store uses: files of older ones, and what a build that was cut off left."""
    used = {part.name for part in manifest.parts}
    own = ("store-*", "vectors-*", "codes-*", "recent-*", "encoder-*", "*.part")
    for pattern in (*own, *(f"{name}*" for name in EARLIER_HEADS)):
        for path in layout.folder.glob(pattern):
            if path.name in used:
                continue
            if path.is_dir():
                shutil.rmtree(path)
            else:
                path.unlink(missing_ok=True)


def _start(draft: Path, layout: Layout, old: Manifest | None) -> Connection:
    draft.unlink(missing_ok=True)
    if old is None:
        return create(draft)
    shutil.copyfile(layout.file(old.database.name), draft)
    return open_draft(draft)


def _finish(draft: Path, path: Path) -> StoredFile:
    settle(draft, path)
    return stored_file(path)


def _next_number(layout: Layout) -> int:
    """Higher than that of any file there, so that none which a reader may have open is written."""
    numbers = (_NUMBERED.fullmatch(path.name) for path in layout.folder.iterdir())
    return max((int(match[1]) for match in numbers if match), default=0) + 1
