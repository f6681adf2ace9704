"""Times suggestions for many segments: python -m tests.bench.tagging_speed [--segments N] [--tagged SHARE] [LIBRARY]

The segments are made from the demo's: their words in another order, some taken from other segments, and their vectors
moved a little, each in one of many made-up bouts. The bare products are the matrix products that the suggestions rest
on: texts with definitions, with the weights learned from tagged segments, and with the tagged segments themselves for
the nearest ones, which are picked by one look through each row. LIBRARY is a built copy of the demo.
"""

from __future__ import annotations

import argparse
import time
from collections.abc import Callable
from pathlib import Path

import faiss
import numpy as np

from fightnotes.index.encoder import Vectors
from fightnotes.index.local_store import LocalStore
from fightnotes.index.store import Store
from fightnotes.model import Segment
from fightnotes.suggesting.examples import MOST_TAGGED, MOST_UNTAGGED, NEIGHBOURS
from fightnotes.suggesting.material import Material, material_of
from fightnotes.suggesting.suggest import suggest_for

SEED = 20310308
BOUT_LENGTH = 40
MOST_TIMES = 2.0
_AT_ONCE = 4096


def made_up(store: Store, count: int, tagged: float) -> tuple[list[Segment], Vectors]:
    """Segments and vectors like the demo's; a share keeps its tags."""
    random = np.random.default_rng(SEED)
    real = {number: segment for number, segment in store.every_segment().items() if segment.tags}
    numbers = list(real)
    vectors = store.vectors_of(numbers)
    words = np.array([word for segment in real.values() for word in segment.text.split()])
    picked = random.integers(len(numbers), size=count)
    segments = []
    for place, which in enumerate(picked):
        old = real[numbers[which]]
        mixed = [*old.text.split(), *words[random.integers(len(words), size=4)]]
        text = " ".join(mixed[index] for index in random.permutation(len(mixed)))
        bout = f"bout-{place // BOUT_LENGTH}"
        kept = old.tags if random.random() < tagged else ()
        new = {
            "text": text,
            "bout": bout,
            "file": f"bouts/{bout}.md",
            "line": place % BOUT_LENGTH,
            "tags": kept,
        }
        segments.append(old.model_copy(update=new))
    moved = vectors[picked] + random.normal(scale=0.03, size=(count, vectors.shape[1])).astype(np.float32)
    return segments, moved / np.linalg.norm(moved, axis=1, keepdims=True)


def bare_products(material: Material) -> None:
    """The products alone, in the blocks that the program takes; random weights stand for what is learned."""
    tagged = np.flatnonzero(material.tagged)
    learned = tagged[: MOST_TAGGED + MOST_UNTAGGED]
    weights = np.random.default_rng(SEED).random((len(learned), len(material.concepts.ids)), dtype=np.float32)
    meaning, words = material.vectors[learned].T @ weights, material.words[learned].T @ weights
    index = faiss.IndexFlatIP(material.vectors.shape[1])
    index.add(material.vectors[tagged])
    for begin in range(0, len(material.segments), _AT_ONCE):
        block = slice(begin, begin + _AT_ONCE)
        vectors, texts = material.vectors[block], material.words[block]
        vectors @ material.concepts.vectors.T
        vectors @ meaning
        texts @ words
        texts @ material.concepts.labels.T
        texts @ material.concepts.definitions.T
        index.search(vectors, NEIGHBOURS)


def seconds(act: Callable[[], object]) -> float:
    begin = time.perf_counter()
    act()
    return time.perf_counter() - begin


def main() -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("library", type=Path)
    parser.add_argument("--segments", type=int, default=100_000)
    parser.add_argument("--tagged", type=float, default=0.58, help="the share with tags; the demo has 0.58")
    given = parser.parse_args()
    store = LocalStore(given.library)
    segments, vectors = made_up(store, given.segments, given.tagged)
    rows = np.arange(len(segments))
    bout = next(iter(store.bouts.values()))
    bouts = dict.fromkeys((segment.bout for segment in segments), bout)
    made: dict[str, Material] = {}

    def prepare() -> None:
        made["material"] = material_of(segments, vectors, store.vocabulary, *store.concept_vectors)

    reading = seconds(prepare)
    material = made["material"]
    found: list[int] = []
    judging = seconds(lambda: found.append(len(suggest_for(material, rows, bouts))))
    bare = seconds(lambda: bare_products(material))
    print(f"{len(segments)} segments, {int(material.tagged.sum())} of them tagged, {found[0]} suggestions")
    print(f"reading the texts {reading:.1f} s, judging {judging:.1f} s; bare products {bare:.1f} s")
    ratio = (reading + judging) / bare
    print(f"{ratio:.2f} times the bare products; at most {MOST_TIMES}: {'yes' if ratio <= MOST_TIMES else 'NO'}")


if __name__ == "__main__":
    main()
