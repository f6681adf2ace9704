"""The shared store against the local one: publishing, queries, and bytes a segment, table by table.

    python -m tests.bench.shared_store [--segments 1000 10000] [--built LIBRARY] [--indexed]

Libraries are made from the demo's sentences and embedded with the default model; `--built` takes a copy of one that is
built already. The server is the tests' own, as it is set out of the box, on this machine. `--indexed` has it make its
index of vectors whatever the size, and holds what that finds against the exact answer.
"""

from __future__ import annotations

import argparse
import shutil
import subprocess
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from time import perf_counter

import numpy as np
import psycopg

from fightnotes.index.progress import Silent
from fightnotes.index.shared import vector_search
from fightnotes.index.shared.publishing import publish
from fightnotes.index.shared.schema import TABLES
from fightnotes.library import Library, open_library
from tests.bench.large_library import LIMIT, QUERIES, edit_one_note
from tests.bench.made_library import build_apart, make_library
from tests.bench.table import timed
from tests.shared_server import running_server

TURNS = 5


def told(what: str, shared: float, local: float) -> None:
    print(f"  {what:44}{1000 * shared:11.1f} ms{1000 * local:11.1f} ms{shared / local:8.2f}")


def measure(root: Path, url: str, first_build: float | None) -> None:
    team, alone = open_library(root, url), open_library(root)
    size = alone.store.size
    print(f"{size} segments{'shared':>45}{'local':>14}{'ratio':>8}")

    def published() -> None:
        publish(root, url, Silent())

    unchanged = timed(alone.build)
    first = timed(published)
    if first_build:
        told("first publish; first build", first, first_build)
    else:
        print(f"  first publish {first:.1f} s")
    told("nothing new published; nothing new built", timed(published), unchanged)
    _, built = edit_one_note(alone)
    told("one note published; one note built", timed(published), built)
    warm_queries(team, open_library(root))
    with psycopg.connect(url) as connection:
        for table in TABLES:
            row = connection.execute("SELECT pg_total_relation_size(%s)", (f"fightnotes.{table}",)).fetchone()
            assert row is not None
            print(f"  {table:44}{row[0] / size:11.0f} bytes a segment")
    files = [path.stat().st_size for path in (root / ".fightnotes").iterdir()]
    print(f"  {'the local store':44}{sum(files) / size:11.0f} bytes a segment")


def warm_queries(team: Library, alone: Library) -> None:
    libraries = (team, alone)
    for library in libraries:
        for query in QUERIES:
            library.find(query, limit=LIMIT)
    times = np.array(
        [
            [timed(lambda: library.find(query, limit=LIMIT)) for library in libraries]  # noqa: B023  called at once
            for _ in range(TURNS)
            for query in QUERIES
        ]
    )
    for what, share in (("warm query, median", 50), ("warm query, 99 %", 99)):
        told(what, *np.percentile(times, share, axis=0).tolist())


def recall(team: Library) -> None:
    """Of the vectors of other sentences than those that the library is made of."""
    store = team.store
    vectors = store.encoder.encode(QUERIES)
    shares, seconds = [], []
    for vector in vectors:
        begun = perf_counter()
        near, _ = store.nearest(vector, LIMIT)
        seconds.append(perf_counter() - begun)
        exact, _ = store.nearest(vector, LIMIT, store.ids)
        shares.append(len(set(near.tolist()) & set(exact.tolist())) / LIMIT)
    print(f"  by the index: recall@{LIMIT} {np.mean(shares):.3f}, median {1000 * np.median(seconds):.1f} ms")


@contextmanager
def library_of(segments: int, built: Path | None) -> Iterator[tuple[Path, float | None]]:
    with tempfile.TemporaryDirectory() as folder:
        root = Path(folder, "library")
        if built:
            subprocess.run(["cp", "-a", "--reflink=auto", str(built), str(root)], check=True)
            yield root, None
        else:
            make_library(root, segments)
            yield root, timed(lambda: build_apart(root))


def main() -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("--segments", type=int, nargs="+", default=[1_000, 10_000])
    parser.add_argument("--built", type=Path)
    parser.add_argument("--indexed", action="store_true")
    given = parser.parse_args()
    if given.indexed:
        vector_search.EXACT_UP_TO = 0
    with running_server() as server:
        for segments in given.segments[: 1 if given.built else None]:
            with library_of(segments, given.built) as (root, first_build):
                url = server.new_database()
                measure(root, url, first_build)
                if given.indexed:
                    recall(open_library(root, url))
                shutil.rmtree(root)


if __name__ == "__main__":
    main()
