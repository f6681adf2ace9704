"""What a store is asked, part by part of its interface, and how two answers are held against each other."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np

from fightnotes.index.criteria import ActCriteria, Criteria
from fightnotes.index.store import Store
from fightnotes.reading.library import bout_files, read_configuration
from fightnotes.reading.opening import allowed_folders

PHRASES = (
    ("lead foot",), ("foot lead",), ("lead foot", "outside"), ("the",), ("jab jab jab",), ("don't",), ("O'Marvane's",),
    ("café",), ("cafe", "kick"), ("右ストレート",), ("nothing that anybody said",), ("lead foot goes outside and",),
)  # fmt: skip
WORDS = (
    ("lead",), ("lead", "foot", "outside"), ("step", "steps", "stepping"), ("isn't", "won't", "jab"),
    ("naivete", "café"),
    ("the", "of", "a"), ("🥊",), ("½", "²", "Ⅳ", "٣"), ("supercalifragilistic" * 200,), ("NEAR", "AND", "OR", "NOT"),
    ("straße", "STRASSE", "istanbul"), ("ꞮⰯ", "𞤀", "ა"), ("wrmvqzx",), ("drop", "table", "segments"), ("guard", "hook"),
)  # fmt: skip
GROUPS: tuple[tuple[tuple[str, ...], ...], ...] = (
    (("lead", "foot"),), (("foot", "lead"), ("jab", "jab")), (("outside", "foot", "lead"),), (("low", "guard"),),
    (("O'Marvane’s", "guard"),), (("left", "hook"), ("right", "hand"), ("open", "guard")), (("nothing", "said"),),
)  # fmt: skip


def few(ids: Any) -> Any:
    """Every third: what filters might let through."""
    return np.asarray(ids, dtype=np.int64)[::3]


def by_words(store: Store) -> list[list[tuple[int, float]]]:
    asked = [(phrases, words) for phrases in ((), *PHRASES) for words in ((), *WORDS)]
    return [
        [(number, round(score, 6)) for number, score in store.best_by_words(*each, 20, among).items()]
        for each in asked
        for among in (None, few(store.ids))
    ]


def near(store: Store) -> list[list[int]]:
    return [
        store.near_each_other(phrases, groups, count, among)
        for phrases in ((), ("lead foot",), ("O'Marvane's",))
        for groups in GROUPS
        for count in (2, 1000)
        for among in (None, few(store.ids))
    ]


CRITERIA = (
    Criteria(kind="note"), Criteria(kind="transcript"), Criteria(pairing="open"), Criteria(rounds=(2, 3)),
    Criteria(since="2030-01-01"), Criteria(until="2030-06-01", since="2029-01-01"), Criteria(analysts=("mk",)),
    Criteria(bout_files=("bouts/odd.md", "bouts/undated ü.md", "bouts/corvale-brandaal-2031.md", "it's", "?")),
    Criteria(acts=(ActCriteria(concepts=("outside-step", "low-guard")),)),
    Criteria(acts=(ActCriteria(concepts=("outside-step",)), ActCriteria(concepts=("open-guard-bait", "café-kick")))),
    Criteria(acts=(ActCriteria(by=("quell", "corvale"), corner="red", written=True),)),
    Criteria(acts=(ActCriteria(fighter=("quell", "corvale"), fields=(("outcome", ("landed",)),)),)),
    Criteria(acts=(ActCriteria(on=("quell",)),), kind="note", rounds=(0, 99)),
)  # fmt: skip


def vector(store: Store) -> Any:
    return store.encoder.encode(["lead foot outside"])[0]


def unchanged(store: Store, root: Path) -> frozenset[str]:
    return store.unchanged_bouts(root, bout_files(root, allowed_folders(root)).files, read_configuration(root))


def nearest(store: Store, among: Any) -> tuple[Any, Any]:
    """Put in the order of ids: of texts that are the same, one engine's sums may differ in their last digit."""
    ids, cosines = store.nearest(vector(store), 10, among)
    order = np.argsort(ids)
    return ids[order], cosines[order]


ANSWERS: dict[str, Callable[[Store], Any]] = {
    "root": lambda store: store.root,
    "model": lambda store: store.model,
    "meta": lambda store: [store.meta[key] for key in ("configuration", "digests", "settings", "vocabulary")],
    "problems": lambda store: store.problems,
    "problems_of": lambda store: [store.problems_of(bout) for bout in store.bouts.values()],
    "size": lambda store: store.size,
    "unchanged_bouts": lambda store: sorted(unchanged(store, store.root)),
    "reading_of": lambda store: [store.reading_of(bout.file) for bout in store.bouts.values()],
    "ids_of": lambda store: [store.ids_of(bouts).tolist() for bouts in ((), [*store.bouts.values()][:2])],
    "vocabulary": lambda store: store.vocabulary,
    "settings": lambda store: store.settings,
    "bouts": lambda store: [*store.bouts.items()],
    "analysts": lambda store: store.analysts,
    "tagged": lambda store: {tag: ids.tolist() for tag, ids in store.tagged.items()},
    "tag_table": lambda store: [
        sorted((number, tag) for tag, code in store.tag_table.names.items() for number in _with_code(store, code))
    ],
    "segments": lambda store: [*store.segments(few(store.ids)[::-1]).items()],
    "every_segment": lambda store: [*store.every_segment().items()],
    "moment": lambda store: [store.moment(segment) for segment in store.every_segment().values()],
    "matching": lambda store: [store.matching(criteria) for criteria in CRITERIA],
    "says": lambda store: [
        store.says(field, ids)
        for field in ("by", "on", "outcome", "target")
        for ids in (None, [], store.ids[:3].tolist())
    ],
    "best_by_words": by_words,
    "near_each_other": near,
    "phrase_holders": lambda store: [store.phrase_holders(phrases).tolist() for phrases in PHRASES],
    "holders": lambda store: [
        store.holders(stem) for stem in ("lead", "foot", "step", "cafe", "jab", "the", "o", "zz")
    ],
    "texts": lambda store: sorted(store.texts(few(store.ids).tolist()).items()),
    "every_text": lambda store: sorted(store.every_text()),
    "dimension": lambda store: store.dimension,
    "ids": lambda store: store.ids.tolist(),
    "vectors_of": lambda store: store.vectors_of(few(store.ids)[::-1]),
    "every_cosine": lambda store: store.every_cosine(vector(store)),
    "cosines": lambda store: store.cosines(vector(store), few(store.ids)[::-1]),
    "passage_cosines": lambda store: [*sorted(store.passage_cosines(vector(store), store.ids).items())],
    "nearest": lambda store: [nearest(store, among) for among in (None, few(store.ids), few(store.ids)[:1])],
    "concept_vectors": lambda store: store.concept_vectors,
    "wording_vectors": lambda store: store.wording_vectors,
    "text_vectors": lambda store: store.text_vectors,
    "changed_files": lambda store: store.changed_files(),
    "is_latest": lambda store: store.is_latest,
}
"""What is asked of each part of the interface."""
NOT_ASKED = {"close", "encoder", "is_searched_whole"}
"""Closing answers nothing, the encoder is a file of the machine, and how much is looked at is for each store to say."""


def _with_code(store: Store, code: int) -> list[int]:
    rows, codes = store.tag_table.of(store.ids)
    return [int(number) for number in store.ids[rows[codes == code]]]


def alike(local: Any, shared: Any, what: str = "") -> None:
    """Equal; numbers of vectors to five places."""
    if isinstance(local, np.ndarray) and local.dtype.kind == "f":
        np.testing.assert_allclose(shared, local, atol=1e-5, err_msg=what)
    elif isinstance(local, np.ndarray):
        assert shared.tolist() == local.tolist(), what
    elif isinstance(local, list | tuple) and any(isinstance(one, np.ndarray | list | tuple) for one in local):
        assert len(local) == len(shared), what
        for one, other in zip(local, shared, strict=True):
            alike(one, other, what)
    else:
        assert local == shared, what
