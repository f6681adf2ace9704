"""Where the derived store keeps what, below `.fightnotes/`; and the schema of its database."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from fightnotes.language import spoken
from fightnotes.model import ACT_KEYS

SCHEMA_VERSION = 12
"""Raise it whenever what a build writes changes: a store of another version is built anew, and
`tests.index.stores.make` keeps a small one of each."""

EARLIER_HEADS = ("store.sqlite", "head.json")
"""What was there in place of `manifest.json` in schema 1, and in 3 and 4 for a time."""

SEGMENT_COLUMNS = ("bout", "kind", "analyst", "round", "pairing")
"""Fields of a segment that filters ask for: columns of the table `segments`."""
ACT_COLUMNS = ", ".join(f'"{key}"' for key in ACT_KEYS)
"""Of the table `acts`: one for each key of a field that tells of an act."""

SCHEMA = f"""
CREATE TABLE meta (key TEXT PRIMARY KEY, value TEXT NOT NULL);
CREATE TABLE files (
    path TEXT NOT NULL, bout_file TEXT NOT NULL, size INTEGER NOT NULL, mtime_ns INTEGER NOT NULL, digest TEXT NOT NULL,
    PRIMARY KEY (bout_file, path)
);
CREATE TABLE bouts (
    file TEXT PRIMARY KEY, id TEXT NOT NULL, date TEXT, duplicate INTEGER NOT NULL, record TEXT NOT NULL
);
CREATE TABLE problems (
    bout_file TEXT NOT NULL, file TEXT NOT NULL, line INTEGER NOT NULL, "column" INTEGER NOT NULL,
    found TEXT NOT NULL, expected TEXT NOT NULL, kind TEXT NOT NULL
);
CREATE INDEX problems_of_bout ON problems (bout_file);
CREATE TABLE segments (
    id INTEGER PRIMARY KEY AUTOINCREMENT, bout_file TEXT NOT NULL, key BLOB NOT NULL,
    date TEXT, record TEXT NOT NULL, {", ".join(SEGMENT_COLUMNS)}
);
CREATE INDEX segments_of_bout ON segments (bout_file);
CREATE TABLE acts (
    segment INTEGER NOT NULL, inferred INTEGER NOT NULL, concept TEXT, corner TEXT,
    {", ".join(f'"{key}" TEXT' for key in ACT_KEYS)}
);
CREATE INDEX acts_of_segment ON acts (segment);
CREATE INDEX acts_by_concept ON acts (concept);
CREATE TABLE passages (id INTEGER PRIMARY KEY AUTOINCREMENT, segment INTEGER NOT NULL, key BLOB NOT NULL);
CREATE INDEX passages_of_segment ON passages (segment);
INSERT INTO sqlite_sequence (name, seq) VALUES ('passages', 1099511627776);
CREATE TABLE wordings (concept TEXT NOT NULL, kind TEXT NOT NULL, key BLOB NOT NULL, vector BLOB NOT NULL);
CREATE VIRTUAL TABLE words USING fts5 (text, labels, tokenize = '{spoken.TOKENIZER}');
"""


@dataclass(frozen=True)
class Layout:
    """The paths of a library's store.

    A build never changes a file that a reader may have open: it writes `store-2.sqlite` beside `store-1.sqlite`,
    and `manifest.json`, replaced last, says which files are the store.
    """

    root: Path

    @property
    def folder(self) -> Path:
        return self.root / ".fightnotes"

    @property
    def manifest(self) -> Path:
        return self.folder / "manifest.json"

    @property
    def lock(self) -> Path:
        return self.folder / "build.lock"

    def file(self, name: str) -> Path:
        return self.folder / name
