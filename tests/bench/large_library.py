"""A large library: query time, memory, and what editing one note costs.

    python -m tests.bench.large_library [--segments 100000] [--keep DIR]

The library is made from the demo's sentences and embedded with the default model. `--keep` makes it in a folder
that stays, and uses the one that is there.
"""

from __future__ import annotations

from pathlib import Path
from statistics import median
from time import perf_counter

import faiss
import numpy as np

from fightnotes.index.build import BuildReport
from fightnotes.library import Library, open_library
from tests.bench.made_library import build_apart, on_made_library
from tests.bench.table import Row, print_rows, timed

QUERIES = (
    "baiting with open guard",
    "someone lowers the hands to draw a punch",
    "outside step and the left hand",
    "turns out of the corner",
    "body shot that hurts",
    "doesn't bite on the feint",
    "clinch and referee break",
    "walks him onto the right hand",
    "Brandaal counters over the top",
    "switches stance before the kick",
    '"lead foot" outside',
    "tired in the last round, hands drop",
)
LIMIT = 20
TURNS = 5


def resident() -> float:
    """Bytes of this process that are in memory now (proc(5), VmRSS)."""
    for line in Path("/proc/self/status").read_text().splitlines():
        if line.startswith("VmRSS:"):
            return int(line.split()[1]) * 1024
    raise RuntimeError("no VmRSS in /proc/self/status")


def bare_search(library: Library) -> faiss.IndexFlatIP:
    """The same vectors in an index of their own."""
    bare = faiss.IndexFlatIP(library.store.dimension)
    bare.add(library.store.vectors_of(library.store.ids))
    return bare


def query_rows(library: Library) -> list[Row]:
    flat, encoder = bare_search(library), library.store.encoder

    def bare(query: str) -> None:
        flat.search(encoder.encode([query]), LIMIT)

    ours: dict[str, list[float]] = {query: [] for query in QUERIES}
    theirs: dict[str, list[float]] = {query: [] for query in QUERIES}
    for _ in range(TURNS):
        for query in QUERIES:
            ours[query].append(timed(lambda: library.find(query, limit=LIMIT)))  # noqa: B023  called at once
            theirs[query].append(timed(lambda: bare(query)))  # noqa: B023
    ratios = {query: median(ours[query]) / median(theirs[query]) for query in QUERIES}
    for query, ratio in sorted(ratios.items(), key=lambda found: -found[1]):
        print(f"  {query:44}{1000 * median(ours[query]):9.1f} ms{1000 * median(theirs[query]):9.1f} ms{ratio:7.2f}")
    middle = [1000 * median(median(times[query]) for query in QUERIES) for times in (ours, theirs)]
    return [Row("warm query, median of the queries' medians", middle[0], middle[1], 3.0, True, "ms")]


def memory_row(library: Library) -> Row:
    for query in QUERIES:
        library.find(query, limit=LIMIT)
    store = library.store
    vectors = store.size * store.dimension * np.dtype(np.float32).itemsize
    model = sum(part.size for part in store.encoder.card.parts)
    return Row("memory of the warm process", resident() / 2**20, (vectors + model) / 2**20, 2.0, True, "MiB")


def edit_one_note(library: Library) -> tuple[BuildReport, float]:
    path = sorted((library.root / "bouts").rglob("*.md"))[0]
    lines = path.read_text(encoding="utf-8").splitlines()
    lines[20] += " and one word more"
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    begun = perf_counter()
    report = library.build()
    return report, perf_counter() - begun


def measure(root: Path) -> None:
    library = open_library(root)
    begun = perf_counter()
    if build_apart(root):
        print(f"first build: {perf_counter() - begun:.0f} s")
    print(f"{library.store.size} segments in {len(library.store.bouts)} bouts")
    memory = memory_row(library)
    print_rows([*query_rows(library), memory])
    unchanged = timed(library.build)
    report, seconds = edit_one_note(library)
    print(
        f"editing one note: {report.files_read} file read, {report.embedded} text embedded, {report.reused} vectors "
        f"kept, {report.bouts_unchanged} bouts unchanged; {seconds:.1f} s, and {unchanged:.1f} s with nothing changed"
    )


if __name__ == "__main__":
    on_made_library(__doc__, measure)
