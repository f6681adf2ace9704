"""Text into the stems that SQLite's FTS5 makes of it, with their places: FTS5 itself is asked, in memory.

So a shared store finds and ranks what the local one does, to the last oddity of the tokenizer.
"""

from __future__ import annotations

import hashlib
import sqlite3
from collections.abc import Iterable, Iterator
from contextlib import closing
from itertools import groupby
from operator import itemgetter
from typing import NamedTuple

from fightnotes.language import spoken

_LONGEST = 500
"""Bytes of a stem that PostgreSQL keeps as they are: a key of its indexes has at most 2,704."""
_AT_ONCE = 2000


class Posting(NamedTuple):
    """A stem in a text of two columns."""

    stem: str
    number: int
    """Of the text."""
    places: list[int]
    """In the first column, from 0."""
    label_places: list[int]
    """In the second."""


def postings_of(texts: Iterable[tuple[int, str, str]]) -> Iterator[Posting]:
    """Of texts by number, which ascend, with their two columns; stem by stem within some texts at a time."""
    batch: list[tuple[int, str, str]] = []
    for text in texts:
        batch.append(text)
        if len(batch) == _AT_ONCE:
            yield from _postings(batch)
            batch.clear()
    yield from _postings(batch)


def stems_of_words(texts: Iterable[str]) -> list[tuple[str, ...]]:
    """The stems of each text, in order."""
    listed = list(texts)
    places: list[dict[int, str]] = [{} for _ in listed]
    for stem, number, found, _ in _postings([(number, text, "") for number, text in enumerate(listed)]):
        places[number] |= dict.fromkeys(found, stem)
    return [tuple(found[place] for place in sorted(found)) for found in places]


def kept(stem: str) -> str:
    """A stem as the shared store has it: one too long for an index by its digest."""
    raw = stem.encode()
    return stem if len(raw) <= _LONGEST else f"sha256 {hashlib.sha256(raw).hexdigest()}"


def _postings(texts: list[tuple[int, str, str]]) -> Iterator[Posting]:
    with closing(sqlite3.connect(":memory:")) as memory:
        memory.execute(f"CREATE VIRTUAL TABLE words USING fts5 (text, labels, tokenize = '{spoken.TOKENIZER}')")
        memory.execute("CREATE VIRTUAL TABLE places USING fts5vocab('words', 'instance')")
        memory.executemany("INSERT INTO words (rowid, text, labels) VALUES (?, ?, ?)", texts)
        rows = memory.execute("SELECT term, doc, col, offset FROM places")  # by term, then text, then place
        for (stem, number), found in groupby(rows, key=itemgetter(0, 1)):
            places: dict[str, list[int]] = {"text": [], "labels": []}
            for _, _, column, place in found:
                places[column].append(place)
            yield Posting(kept(stem), number, places["text"], places["labels"])
