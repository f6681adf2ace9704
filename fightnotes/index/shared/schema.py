"""The tables of a shared store. They mirror those of the local one, ids included; words are postings of their own."""

from __future__ import annotations

from fightnotes.index.layout import SCHEMA_VERSION, SEGMENT_COLUMNS
from fightnotes.index.shared.connecting import SCHEMA_NAME
from fightnotes.model import ACT_KEYS

SHARED_VERSION = f"{SCHEMA_VERSION}.1"
"""Raise what stands behind the point whenever a table here changes: a shared store of another version is made anew."""

TABLES = (
    "meta", "published", "files", "bouts", "problems", "segments", "acts", "passages", "wordings", "postings", "stems",
    "vectors",
)  # fmt: skip
_WORD = 'text COLLATE "C"'
"""Compared byte by byte, as SQLite compares, so that both stores give one order."""
_TYPES = {"round": "integer"}
"""Of columns that hold no word."""


def tables(dimension: int) -> str:
    """The statements that make them, for vectors of so many numbers."""
    return f"""
CREATE TABLE meta (key text PRIMARY KEY, value text NOT NULL);
CREATE TABLE published (bout_file text PRIMARY KEY, digest bytea NOT NULL);
CREATE TABLE files (
    bout_file text NOT NULL, path text NOT NULL, size bigint NOT NULL, digest text NOT NULL,
    PRIMARY KEY (bout_file, path)
);
CREATE TABLE bouts (
    file text PRIMARY KEY, id {_WORD} NOT NULL, date {_WORD}, duplicate boolean NOT NULL, record text NOT NULL
);
CREATE TABLE problems (
    bout_file text NOT NULL, file text NOT NULL, line integer NOT NULL, "column" integer NOT NULL, found text NOT NULL,
    expected text NOT NULL, kind text NOT NULL
);
CREATE INDEX problems_of_bout ON problems (bout_file);
CREATE TABLE segments (
    id bigint PRIMARY KEY, bout_file {_WORD} NOT NULL, key bytea NOT NULL, date {_WORD},
    record text NOT NULL, labels text NOT NULL, length integer NOT NULL,
    {", ".join(f"{name} {_TYPES.get(name, _WORD)}" for name in SEGMENT_COLUMNS)}
);
CREATE INDEX segments_of_bout ON segments (bout_file);
CREATE INDEX segments_by_key ON segments (key);
CREATE TABLE acts (
    segment bigint NOT NULL, inferred boolean NOT NULL, concept {_WORD}, corner text,
    {", ".join(f'"{key}" text' for key in ACT_KEYS)}
);
CREATE INDEX acts_of_segment ON acts (segment);
CREATE INDEX acts_by_concept ON acts (concept);
CREATE TABLE passages (id bigint PRIMARY KEY, segment bigint NOT NULL, key bytea NOT NULL);
CREATE INDEX passages_of_segment ON passages (segment);
CREATE TABLE wordings (
    rowid bigint PRIMARY KEY, concept {_WORD} NOT NULL, kind text NOT NULL, key bytea NOT NULL, vector bytea NOT NULL
);
CREATE TABLE postings (
    stem {_WORD}, segment bigint, length integer NOT NULL, places integer[] NOT NULL,
    label_places integer[] NOT NULL, PRIMARY KEY (stem, segment)
);
CREATE INDEX postings_of_segment ON postings (segment);
CREATE TABLE stems (stem {_WORD} PRIMARY KEY, holders bigint NOT NULL);
CREATE TABLE vectors (
    id bigint PRIMARY KEY, segment bigint NOT NULL, wordless boolean NOT NULL, vector vector({dimension}) NOT NULL
);
CREATE INDEX vectors_of_segment ON vectors (segment);
"""


DROP = "".join(f"DROP TABLE IF EXISTS {SCHEMA_NAME}.{table};" for table in TABLES)
