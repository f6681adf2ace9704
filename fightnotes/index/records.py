"""Bouts and segments into the database's rows, and out of it."""

from __future__ import annotations

import hashlib
import sqlite3
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import product
from typing import TYPE_CHECKING, Literal

from fightnotes.errors import Problem
from fightnotes.index.changes import Stamp
from fightnotes.index.layout import ACT_COLUMNS, SEGMENT_COLUMNS
from fightnotes.language.passages import passages_of
from fightnotes.model import ACT_KEYS, Bout, Concept, Segment, Vocabulary, acts_known, acts_of

if TYPE_CHECKING:  # a query needs this module, and not what reads files
    from fightnotes.reading.library import BoutReading

Wording = Literal["whole", "part"]
"""What of a concept a vector stands for: label and definition together, or one label or the definition alone."""


PROBLEM_COLUMNS = 'file, line, "column", found, expected, kind'
"""In the order of the fields of `Problem`."""


@dataclass(frozen=True)
class NewText:
    """A segment, or a passage of a long one, that has no vector yet; passages have ids above those of all segments."""

    id: int
    key: bytes
    text: str


def segment_text(segment: Segment) -> str:
    """What the encoder reads of a segment: its prose. Tags are matched by name, and fields by filters."""
    return segment.text


def concept_text(concept: Concept) -> str:
    """What the encoder reads of a concept as a whole: its label and what it means."""
    return f"{concept.label}: {concept.definition}" if concept.definition else concept.label


def concept_wordings(concept: Concept) -> Iterator[tuple[Wording, str]]:
    """The concept as a whole, and each of its labels and its definition alone, as parts."""
    yield "whole", concept_text(concept)
    for label in (concept.label, *concept.also):
        yield "part", label
    if concept.definition:
        yield "part", concept.definition


def key_of(text: str) -> bytes:
    """Names a text for the encoder: the same text has the same vector."""
    return hashlib.sha256(text.encode()).digest()[:16]


def remove_bout(connection: sqlite3.Connection, bout_file: str) -> list[int]:
    """Takes out all that came from a bout's files; gives the ids of its segments and of their passages."""
    numbers = connection.execute("SELECT id FROM segments WHERE bout_file = ?", (bout_file,)).fetchall()
    passages = [
        passage
        for (number,) in numbers
        for (passage,) in connection.execute("SELECT id FROM passages WHERE segment = ?", (number,))
    ]
    connection.executemany("DELETE FROM passages WHERE segment = ?", numbers)
    connection.executemany("DELETE FROM acts WHERE segment = ?", numbers)
    connection.executemany("DELETE FROM words WHERE rowid = ?", numbers)
    for table in ("segments", "problems", "files"):
        connection.execute(f"DELETE FROM {table} WHERE bout_file = ?", (bout_file,))
    connection.execute("DELETE FROM bouts WHERE file = ?", (bout_file,))
    return [*(number for (number,) in numbers), *passages]


def add_bout(
    connection: sqlite3.Connection,
    bout_file: str,
    reading: BoutReading,
    stamps: Sequence[Stamp],
    vocabulary: Vocabulary,
) -> list[NewText]:
    """Puts in what a bout's files say."""
    connection.executemany(
        "INSERT INTO files (bout_file, path, size, mtime_ns, digest) VALUES (?, ?, ?, ?, ?)",
        [(bout_file, stamp.path, stamp.size, stamp.mtime_ns, stamp.digest) for stamp in stamps],
    )
    add_problems(connection, bout_file, reading.problems)
    if reading.bout is None:
        return []
    add_bout_record(connection, reading.bout, duplicate=False)
    return [
        new
        for segment in reading.segments
        for new in _add_segment(connection, bout_file, reading.bout, segment, vocabulary)
    ]


def add_bout_record(connection: sqlite3.Connection, bout: Bout, *, duplicate: bool) -> None:
    date = bout.date.isoformat() if bout.date else None
    connection.execute(
        "INSERT INTO bouts (file, id, date, duplicate, record) VALUES (?, ?, ?, ?, ?)",
        (bout.file, bout.id, date, duplicate, bout.model_dump_json()),
    )


def add_problems(connection: sqlite3.Connection, bout_file: str, problems: Iterable[Problem]) -> None:
    connection.executemany(
        f"INSERT INTO problems (bout_file, {PROBLEM_COLUMNS}) VALUES (?, ?, ?, ?, ?, ?, ?)",
        [(bout_file, p.file, p.line, p.column, p.found, p.expected, p.kind) for p in problems],
    )


def general_problems(connection: sqlite3.Connection) -> set[Problem]:
    """Those of no bout: of the settings, the vocabulary, the folder."""
    rows = connection.execute(f"SELECT {PROBLEM_COLUMNS} FROM problems WHERE bout_file = ''")
    return {Problem(*row) for row in rows}


def replace_general_problems(connection: sqlite3.Connection, problems: Iterable[Problem]) -> None:
    connection.execute("DELETE FROM problems WHERE bout_file = ''")
    add_problems(connection, "", problems)


def all_problems(connection: sqlite3.Connection) -> list[Problem]:
    rows = connection.execute(f"SELECT DISTINCT {PROBLEM_COLUMNS} FROM problems")
    return sorted(Problem(*row) for row in rows)


def problems_of(connection: sqlite3.Connection, bout_file: str) -> list[Problem]:
    """Those of a bout's files, in their order."""
    rows = connection.execute(f"SELECT {PROBLEM_COLUMNS} FROM problems WHERE bout_file = ?", (bout_file,))
    return sorted(Problem(*row) for row in rows)


def _add_segment(
    connection: sqlite3.Connection, bout_file: str, bout: Bout, segment: Segment, vocabulary: Vocabulary
) -> Iterator[NewText]:
    text = segment_text(segment)
    key = key_of(text)
    date = bout.date.isoformat() if bout.date else None
    record = segment.model_dump_json(exclude_defaults=True)
    number = connection.execute(
        f"INSERT INTO segments (bout_file, key, date, record, {', '.join(SEGMENT_COLUMNS)}) "
        f"VALUES (?, ?, ?, ?{', ?' * len(SEGMENT_COLUMNS)})",
        (bout_file, key, date, record, *(getattr(segment, name) for name in SEGMENT_COLUMNS)),
    ).lastrowid
    assert number is not None
    connection.executemany(
        f"INSERT INTO acts (segment, inferred, concept, corner, {ACT_COLUMNS}) "
        f"VALUES (?, ?, ?, ?{', ?' * len(ACT_KEYS)})",
        list(_act_rows(number, bout, segment)),
    )
    connection.execute(
        "INSERT INTO words (rowid, text, labels) VALUES (?, ?, ?)", (number, text, _label_words(segment, vocabulary))
    )
    yield NewText(number, key, text)
    for passage in passages_of(text):
        piece = text[passage.begin : passage.stop].strip()
        added = connection.execute(
            "INSERT INTO passages (segment, key) VALUES (?, ?)", (number, key_of(piece))
        ).lastrowid
        assert added is not None
        yield NewText(added, key_of(piece), piece)


def _act_rows(number: int, bout: Bout, segment: Segment) -> Iterable[tuple[int | str | None, ...]]:
    """One row for each combination of fighters, targets and outcomes that holds together: of what is written, and
    again with what is inferred."""
    written = acts_of(segment)
    known = acts_known(segment) if segment.inferred else ()
    for act, inferred in (*((act, False) for act in written), *((act, True) for act in known if act not in written)):
        choices: list[tuple[str | None, ...]] = [getattr(act.fields, key) or (None,) for key in ACT_KEYS]
        for values in product(*choices):
            by = values[ACT_KEYS.index("by")]
            yield number, inferred, act.concept, bout.corner_of(by) if by else None, *values


def _label_words(segment: Segment, vocabulary: Vocabulary) -> str:
    """The labels by which a reader might ask for the segment's tags."""
    words: list[str] = []
    for tag in segment.tags:
        concept = vocabulary.by_id.get(tag.concept) if tag.concept else None
        words.extend((concept.label, *concept.also) if concept else (tag.written.replace("-", " "),))
    return " · ".join(dict.fromkeys(words))
