"""Prints how well the judged queries over the demo are answered: python -m tests.bench.query_quality [LIBRARY]

LIBRARY is a built copy of the demo; without it, the demo is copied and built in a temporary folder.
"""

from __future__ import annotations

import shutil
import sys
import tempfile
from pathlib import Path

from fightnotes.index.build import build
from fightnotes.index.store import Store
from tests.judged.evaluation import SYSTEMS, difference_interval, load_queries, measure, opposed_above, ranking

DEMO = Path(__file__).parents[2] / "corpus_demo"


def report(store: Store) -> None:
    queries = load_queries(store)
    groups = {
        "all": queries,
        "no shared word": [judged for judged in queries if judged.disjoint],
        "shared words": [judged for judged in queries if not judged.disjoint],
    }
    for name, group in groups.items():
        print(f"\n{name}: {len(group)} queries")
        print(f"{'':16}{'nDCG@10':>10}{'R@20':>10}{'RR':>10}{'opposed above':>16}")
        scores = {}
        for system, sides in SYSTEMS.items():
            found = measure(group, lambda query, sides=sides: ranking(store, query, sides))
            scores[system] = found["nDCG@10"]
            means = [sum(values.values()) / len(values) for values in found.values()]
            wrong, pairs = opposed_above(group, lambda query, sides=sides: ranking(store, query, sides))
            share = f"{wrong}/{pairs}" if pairs else "-"
            print(f"{system:16}" + "".join(f"{mean:10.3f}" for mean in means) + f"{share:>16}")
        for other in ("words alone", "vectors alone"):
            mean, low, high = difference_interval(scores["the default"], scores[other])
            print(f"  the default minus {other}: nDCG@10 {mean:+.3f} (95 % {low:+.3f} to {high:+.3f})")


if __name__ == "__main__":
    if len(sys.argv) > 1:
        report(Store(Path(sys.argv[1])))
    else:
        with tempfile.TemporaryDirectory() as folder:
            copy = Path(folder) / "corpus_demo"
            shutil.copytree(DEMO, copy, ignore=shutil.ignore_patterns(".fightnotes"))
            build(copy)
            report(Store(copy))
