"""Prints how well the judged queries are answered, and what each part of the search adds.

    python -m tests.bench.query_quality

Copies of the demo and of the second library are built in a temporary folder, with the default encoder and with its
base, as it was before it was adapted to the trade.
"""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Callable, Sequence
from pathlib import Path
from unittest.mock import patch

from fightnotes.index.build import build
from fightnotes.index.local_store import LocalStore
from fightnotes.index.model_source import BASE_NAME
from fightnotes.index.store import Store
from fightnotes.search import fusion
from tests.judged.evaluation import (
    QUERIES,
    SECOND,
    SYSTEMS,
    Judged,
    default_ranking,
    difference_interval,
    load_queries,
    measure,
    opposed_above,
)

DEMO = Path(__file__).parents[2] / "corpus_demo"
Ranking = Callable[[str], Sequence[str]]


def built(library: Path, folder: Path, model: str | None) -> Store:
    copy = folder / f"{library.name}-{model or 'default'}"
    shutil.copytree(library, copy, ignore=shutil.ignore_patterns(".fightnotes"))
    if model:
        with (copy / "library.yaml").open("a", encoding="utf-8") as settings:
            settings.write(f"\nmodel: {model}\n")
    build(copy)
    return LocalStore(copy)


def without_tags(store: Store, query: str) -> list[str]:
    with patch.object(fusion, "TAG_WEIGHT", 0.0), patch.object(fusion, "NEAR_CONCEPT", 2.0):
        return default_ranking(store, query)


def systems(store: Store, base: Store) -> dict[str, Ranking]:
    """Each with the name that it is printed by."""
    ours = {name: (lambda query, rank=rank: rank(store, query)) for name, rank in SYSTEMS.items()}
    return {
        **ours,
        "without tags": lambda query: without_tags(store, query),
        "base: vectors alone": lambda query: SYSTEMS["vectors alone"](base, query),
        "base: the default": lambda query: default_ranking(base, query),
    }


def report(title: str, queries: Sequence[Judged], compared: dict[str, Ranking]) -> None:
    groups = {
        "all": queries,
        "no shared word": [judged for judged in queries if judged.disjoint],
        "shared words": [judged for judged in queries if not judged.disjoint],
    }
    for name, group in groups.items():
        print(f"\n{title}, {name}: {len(group)} queries")
        print(f"{'':22}{'nDCG@10':>10}{'R@20':>10}{'RR':>10}{'opposed above':>16}")
        scores = {}
        for system, answer in compared.items():
            found = measure(group, answer)
            scores[system] = found["nDCG@10"]
            means = [sum(values.values()) / len(values) for values in found.values()]
            wrong, pairs = opposed_above(group, answer)
            share = f"{wrong}/{pairs}" if pairs else "-"
            print(f"{system:22}" + "".join(f"{mean:10.3f}" for mean in means) + f"{share:>16}")
        for other in compared.keys() - {"the default"}:
            mean, low, high = difference_interval(scores["the default"], scores[other])
            print(f"  the default minus {other}: nDCG@10 {mean:+.3f} (95 % {low:+.3f} to {high:+.3f})")


def main() -> None:
    with tempfile.TemporaryDirectory() as folder:
        demo, second = (built(library, Path(folder), None) for library in (DEMO, SECOND))
        demo_base, second_base = (built(library, Path(folder), BASE_NAME) for library in (DEMO, SECOND))
        queries = load_queries(demo, QUERIES)
        for part in ("tune", "report"):
            report(f"demo, {part}", [one for one in queries if one.part == part], systems(demo, demo_base))
        report("second library", load_queries(second, SECOND / "queries.yaml"), systems(second, second_base))


if __name__ == "__main__":
    main()
