"""How quick the page is: the first result of a search at the server, and 50 clients at once.

    python -m tests.bench.page_speed [--segments 100000] [--keep DIR]

The library is that of `large_library`, and `--keep` as there. Every query is asked once before it is timed; the page
and the bare `find` go by turns.
"""

from __future__ import annotations

import threading
import time
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from urllib.parse import quote_plus

import httpx2
import numpy as np

from fightnotes.web.kept import KeptLibrary
from fightnotes.web.serving import listen, serve
from tests.bench.large_library import QUERIES
from tests.bench.made_library import build_apart, on_made_library
from tests.bench.table import timed

CLIENTS, TURNS = 50, 10
BAR = 100
"""Milliseconds."""


def print_times(what: str, seconds: Sequence[float]) -> None:
    middle, high = (1000 * float(np.percentile(seconds, share)) for share in (50, 99))
    print(f"{what:44}{middle:12.1f}{high:12.1f} ms")


def one_at_a_time(kept: KeptLibrary, ask: Callable[[str], object]) -> None:
    bare: list[float] = []
    page: list[float] = []
    for query in QUERIES * TURNS:
        bare.append(timed(lambda: kept.library.find(query)))  # noqa: B023  called at once
        page.append(timed(lambda: ask(query)))  # noqa: B023
    print_times("bare find", bare)
    print_times(f"the page (median at most {BAR} ms)", page)


def all_at_once(ask: Callable[[str], object]) -> None:
    queries = [f"{query} {number}" for number in range(CLIENTS * TURNS // len(QUERIES)) for query in QUERIES]
    begun = time.perf_counter()
    with ThreadPoolExecutor(CLIENTS) as pool:
        seconds = list(pool.map(lambda query: timed(lambda: ask(query)), queries))
    took = time.perf_counter() - begun
    print_times(f"{CLIENTS} clients at once, {len(queries)} queries", seconds)
    print(f"{'answers a second':44}{len(queries) / took:12.1f}")


def measure(root: Path) -> None:
    build_apart(root)
    kept, listening = KeptLibrary(root), listen(0)
    ready = threading.Event()
    threading.Thread(target=serve, args=(kept, listening, lambda _: ready.set()), daemon=True).start()
    ready.wait()
    print(f"{kept.library.store.size} segments{'':28}{'median':>12}{'p99':>12}")
    address = f"http://127.0.0.1:{listening.getsockname()[1]}/"
    limits = httpx2.Limits(max_connections=CLIENTS)
    with httpx2.Client(base_url=address, limits=limits, timeout=300) as client:

        def ask(query: str) -> None:
            client.get(f"/?q={quote_plus(query)}").raise_for_status()

        for query in QUERIES:
            ask(query)
        one_at_a_time(kept, ask)
        all_at_once(ask)


if __name__ == "__main__":
    on_made_library(__doc__, measure)
