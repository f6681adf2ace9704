"""Tags of scientific abstracts, guessed: python -m tests.bench.semanlink ARCHIVE LIBRARY

ARCHIVE is the source distribution of cherche 2.2.1 (PyPI), which carries abstracts tagged by their reader and that
reader's 4,603 tags: `cherche/data/semanlink/arxiv.json` and `tags.json`. LIBRARY is a built library, whose encoder
is used. Prints the ranking by label embedding alone, and the tagger's with the tags of the other four fifths; then both
without the tags that most of the abstracts have.
"""

from __future__ import annotations

import json
import sys
import tarfile
from pathlib import Path
from typing import Any

import numpy as np
from sklearn.metrics import average_precision_score

from fightnotes.index.local_store import LocalStore
from fightnotes.index.store import Store
from fightnotes.model import Concept, Segment, Tag, Vocabulary
from fightnotes.suggesting.evidence import evidence_of
from fightnotes.suggesting.examples import Matrix
from fightnotes.suggesting.material import Flags, Material, Numbers, material_of
from fightnotes.suggesting.suggest import learn_from

FOLDS = 5
SEED = 20310308
TOGETHER = 10
"""Abstracts that stand for one bout, and are not learned from for each other."""
COMMON = 0.5


def read(archive: Path) -> tuple[list[dict[str, Any]], Vocabulary]:
    with tarfile.open(archive) as packed:
        members = {Path(name).name: name for name in packed.getnames() if "data/semanlink" in name}
        texts, tags = (
            json.load(packed.extractfile(members[name]) or sys.stdin) for name in ("arxiv.json", "tags.json")
        )
    concepts = tuple(
        Concept(
            id=uri,
            label=tag["prefLabel"][0],
            also=tuple(tag["altLabel"]),
            broader=tuple(one for one in tag["broader"] if one in tags),
        )
        for uri, tag in tags.items()
    )
    return texts, Vocabulary(concepts=concepts)


def material_from(archive: Path, store: Store) -> Material:
    texts, vocabulary = read(archive)
    order = np.random.default_rng(SEED).permutation(len(texts))
    segments = []
    for line, which in enumerate(order, 1):
        tags = tuple(
            Tag(written="x", concept=uri, line=line, column=1) for uri in texts[which]["tag"] if uri in vocabulary.by_id
        )
        segments.append(
            Segment(
                bout=str((line - 1) // TOGETHER),
                file="a.md",
                line=line,
                last_line=line,
                kind="note",
                text=f"{texts[which]['title']}\n{texts[which]['comment']}",
                written_time="0:01",
                tags=tags,
            )
        )
    labels = [concept.label for concept in vocabulary.concepts]
    vectors = store.encoder.encode([segment.text for segment in segments])
    return material_of(segments, vectors, vocabulary, [c.id for c in vocabulary.concepts], store.encoder.encode(labels))


def guessed(material: Material) -> Matrix:
    """Probabilities, each fifth's learned from the others."""
    found = np.empty((len(material.segments), len(material.concepts.ids)), dtype=np.float32)
    for held in _folds(material):
        rest = np.setdiff1d(np.arange(len(material.segments)), held)
        examples, weights, _ = learn_from(material, rest)
        found[held] = weights.probabilities(evidence_of(material, held, examples))
    return found


def _folds(material: Material) -> list[Numbers]:
    bouts = np.unique(material.bouts)
    return [np.flatnonzero(np.isin(material.bouts, part)) for part in np.array_split(bouts, FOLDS)]


def figures(true: Flags, found: Matrix) -> str:
    some = [row for row in range(len(true)) if true[row].any()]
    ranked = np.argsort(-found, axis=1, kind="stable")
    precision = np.mean([average_precision_score(true[row], found[row]) for row in some])
    recall = np.mean([true[row][ranked[row, :10]].sum() / true[row].sum() for row in some])
    first = np.mean([true[row, ranked[row, 0]] for row in some])
    return f"MAP {precision:.3f}, recall@10 {recall:.3f}, first right {first:.3f}"


def main() -> None:
    archive, library = map(Path, sys.argv[1:3])
    material = material_from(archive, LocalStore(library))
    true = material.tags.toarray() > 0
    print(f"{len(true)} abstracts, {true.sum() / len(true):.1f} tags each of {true.shape[1]}")
    ways = {
        "label embedding alone": material.vectors @ material.concepts.vectors.T,
        "the tagger, five-fold": guessed(material),
    }
    telling = true.mean(axis=0) < COMMON
    for title, found in ways.items():
        print(f"{title}: {figures(true, found)}")
    print(f"without {(~telling).sum()} tags that more than half of the abstracts have")
    for title, found in ways.items():
        print(f"{title}: {figures(true[:, telling], found[:, telling])}")


if __name__ == "__main__":
    main()
