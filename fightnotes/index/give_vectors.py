"""A vector for each new segment and each concept: the one that the same text has already, else the encoder's."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable, Mapping, Sequence

from fightnotes.index.encoder import Encoder
from fightnotes.index.progress import Progress
from fightnotes.index.records import NewText, concept_wordings, key_of
from fightnotes.index.vector_parts import VectorParts
from fightnotes.model import Concept

_AT_ONCE = 4096
"""Texts whose vectors are held before they are added: few enough for the memory, many enough to be
sorted into batches of like length."""


def embed_segments(
    new: Sequence[NewText],
    known: Mapping[bytes, int],
    vectors: VectorParts,
    encoder: Encoder,
    progress: Progress,
) -> int:
    """Adds the vectors of `new`; `known` names by its text's key a segment that has one there.

    Gives how many texts went through the encoder.
    """
    kept = [segment for segment in new if segment.key in known]
    if kept:
        old = vectors.of([known[segment.key] for segment in kept])
        vectors.add(old, [segment.id for segment in kept])
    ids: dict[bytes, list[int]] = {}
    texts: dict[bytes, str] = {}
    for segment in new:
        if segment.key not in known:
            ids.setdefault(segment.key, []).append(segment.id)
            texts[segment.key] = segment.text
    progress.begin("Embedding", len(texts))
    waiting = sorted(texts, key=lambda key: len(texts[key]), reverse=True)
    for begin in range(0, len(waiting), _AT_ONCE):
        keys = waiting[begin : begin + _AT_ONCE]
        made = encoder.encode([texts[key] for key in keys], progress.advance)
        rows = [row for row, key in enumerate(keys) for _ in ids[key]]
        vectors.add(made[rows], [number for key in keys for number in ids[key]])
    return len(texts)


def embed_concepts(connection: sqlite3.Connection, concepts: Iterable[Concept], encoder: Encoder) -> None:
    """Writes the wordings of every concept anew; a text that stands as before keeps its vector."""
    known = dict(connection.execute("SELECT key, vector FROM wordings"))
    wordings = [(concept.id, kind, text) for concept in concepts for kind, text in concept_wordings(concept)]
    fresh = [text for text in dict.fromkeys(text for _, _, text in wordings) if key_of(text) not in known]
    made = encoder.encode(fresh) if fresh else ()
    known |= {key_of(text): vector.tobytes() for text, vector in zip(fresh, made, strict=True)}
    connection.execute("DELETE FROM wordings")
    connection.executemany(
        "INSERT INTO wordings (concept, kind, key, vector) VALUES (?, ?, ?, ?)",
        [(identity, kind, key_of(text), known[key_of(text)]) for identity, kind, text in wordings],
    )
