"""How the program grows with the library: what each job takes, and the exponent of its growth from size to size.

    python -m tests.bench.scale [--segments 1000 10000 100000 1000000] [--only PART ...] [--keep DIR]

Up to 100,000 segments the library is made of the demo's sentences and built (`made_library`); above, it is the largest
of these many times over, with made-up vectors (`multiplied`), and has no first build. `--keep` makes the libraries in a
folder that stays, and uses those that are there. Each part runs in a process of its own. Queries are those of
`large_library`; recall is told of these, by which the numbers of the search were chosen, and of the demo's judged ones,
by which nothing was. Seconds are of the clock; of a warm query also those that its thread was at work, as others may
burden the machine.
"""

from __future__ import annotations

import argparse
import math
import multiprocessing
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Callable, Sequence
from concurrent.futures import ProcessPoolExecutor
from itertools import pairwise
from pathlib import Path
from time import perf_counter, thread_time
from unittest.mock import patch

import numpy as np
from ruamel.yaml import YAML

from fightnotes.index.local_store import LocalStore
from fightnotes.library import Library, open_library
from fightnotes.search.filters import Filters
from tests.bench.large_library import LIMIT, QUERIES, edit_one_note, resident
from tests.bench.made_library import build_apart, make_library
from tests.bench.multiplied import multiply
from tests.bench.table import timed
from tests.judged.evaluation import QUERIES as JUDGED

MOST_MADE = 100_000
TURNS = 5
Figures = dict[str, float]


def cold(root: Path) -> Figures:
    program = Path(sys.executable).with_name("fightnotes")

    def find(query: str) -> float:
        words = [str(program), "find", query, "--library", str(root)]
        return timed(lambda: subprocess.run(words, check=True, capture_output=True))

    return {"cold query, s": float(np.median([find(query) for query in QUERIES[:3]]))}


def warm(root: Path) -> Figures:
    library = open_library(root)
    first = [timed(lambda: library.find(query, limit=LIMIT)) for query in QUERIES]  # noqa: B023  called at once
    clock, work = [], []
    for query in QUERIES * TURNS:
        begun, worked = perf_counter(), thread_time()
        library.find(query, limit=LIMIT)
        clock.append(perf_counter() - begun)
        work.append(thread_time() - worked)
    few = Filters(bout=(next(iter(library.store.bouts)),))
    return {
        "first time a query is asked, median, s": float(np.median(first)),
        "warm query, median, s": float(np.median(clock)),
        "warm query, p99, s": float(np.percentile(clock, 99)),
        "warm query, its thread at work, median, s": float(np.median(work)),
        "warm query with a filter that few pass, s": float(np.median([timed(lambda: library.find(QUERIES[0], few))])),
        "memory of that process, MiB": resident() / 2**20,
    }


def recall(root: Path) -> Figures:
    """Of the first 20 that a search of the whole finds; 1 where every query is one."""
    library = open_library(root)
    judged = [entry["query"] for entry in YAML(typ="safe").load(JUDGED.read_text(encoding="utf-8"))]
    tuned, (kept, alike) = shared(library, QUERIES), shared(library, judged)
    return {
        "recall@20, large_library's queries": tuned[0],
        "recall@20, judged queries": kept,
        "the same in the same order": alike,
    }


def shared(library: Library, queries: Sequence[str]) -> tuple[float, float]:
    """How much of each answer is kept, and how many answers are the same."""

    def places(query: str) -> list[str]:
        return [hit.place for hit in library.find(query, limit=LIMIT).hits]

    found = [places(query) for query in queries]
    with patch.object(LocalStore, "is_searched_whole", True):
        whole = [places(query) for query in queries]
    answers = list(zip(found, whole, strict=True))
    kept = [len({*one} & {*other}) / len(other) for one, other in answers if other]
    return float(np.mean(kept)), float(np.mean([one == other for one, other in answers]))


def edit(root: Path) -> Figures:
    library = open_library(root)
    unchanged = timed(library.build)
    return {"build, one note edited, s": edit_one_note(library)[1], "build, nothing changed, s": unchanged}


def disk(root: Path) -> Figures:
    sizes = {path.name: path.stat().st_size for path in (root / ".fightnotes").iterdir()}
    return {"index on disk, MiB": sum(sizes.values()) / 2**20}


def job(name: str, work: Callable[[Library], object]) -> Callable[[Path], Figures]:
    def measure(root: Path) -> Figures:
        library = open_library(root)
        return {f"{name}, s": timed(lambda: work(library)), f"memory of {name}, MiB": resident() / 2**20}

    return measure


PARTS: dict[str, Callable[[Path], Figures]] = {
    "disk": disk,
    "cold": cold,
    "warm": warm,
    "recall": recall,
    "edit": edit,
    "suggest": job("suggest", Library.suggest),
    "propose": job("propose", Library.propose),
    "audit": job("audit", Library.audit),
}


def library_of(folder: Path, segments: int) -> tuple[Path, Figures]:
    """The library of a size, made where it is not there; with what its first build took, where it has one."""
    root = folder / f"{segments}"
    if segments > MOST_MADE:
        if not root.exists():
            multiply(library_of(folder, MOST_MADE)[0], root, segments // MOST_MADE)
        return root, {}
    if not root.exists():
        make_library(root, segments)
    begun = perf_counter()
    return root, {"first build, s": perf_counter() - begun} if build_apart(root) else {}


def print_table(found: dict[int, Figures]) -> None:
    """A row a figure: its value at each size, and the exponents between sizes."""
    sizes = sorted(found)
    print(f"{'segments':46}" + "".join(f"{size:>12,}" for size in sizes) + "   exponents")
    for name in dict.fromkeys(name for figures in found.values() for name in figures):
        values = [found[size].get(name, math.nan) for size in sizes]
        grown = [
            f"{math.log(later / sooner) / math.log(larger / smaller):.2f}"
            for (smaller, sooner), (larger, later) in pairwise(zip(sizes, values, strict=True))
            if sooner > 0 and later > 0
        ]
        print(f"{name:46}" + "".join(f"{value:12.3f}" for value in values) + f"   {' '.join(grown)}")


def run(part: str, root: Path) -> Figures:
    with ProcessPoolExecutor(1, mp_context=multiprocessing.get_context("spawn")) as apart:
        return apart.submit(measured, part, root).result()


def measured(part: str, root: Path) -> Figures:
    return PARTS[part](root)


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--segments", type=int, nargs="+", default=[1000, 10_000, 100_000, 1_000_000])
    parser.add_argument("--only", nargs="+", choices=PARTS, default=list(PARTS))
    parser.add_argument("--keep", type=Path)
    arguments = parser.parse_args()
    folder = arguments.keep or Path(tempfile.mkdtemp())
    folder.mkdir(parents=True, exist_ok=True)
    table: dict[int, Figures] = {}
    try:
        for segments in arguments.segments:
            root, table[segments] = library_of(folder, segments)
            for part in arguments.only:
                table[segments] |= run(part, root)
                print(f"{segments:,}: {part} measured", file=sys.stderr)
        print_table(table)
    finally:
        if arguments.keep is None:
            shutil.rmtree(folder)
