"""Notes that say the same under other tags, looked for in cells against every pair: what is kept, and seconds.

    python -m tests.bench.near_notes LIBRARY

LIBRARY is built, as `tests.bench.scale --keep` leaves it. Every pair of a million notes takes ten minutes.
"""

from __future__ import annotations

import sys
from importlib import import_module
from pathlib import Path
from time import perf_counter
from unittest.mock import patch

from fightnotes.audit import near_rows
from fightnotes.audit.finding import Location
from fightnotes.library import Library, open_library

RULE = "tagged-differently"
RULE_MODULE = import_module("fightnotes.audit.rules.tagged_differently")  # its package has the function by that name
Found = dict[Location, Location]
"""Place of the note -> place of the one that says the same."""


def look(library: Library, exact_up_to: int) -> tuple[Found, float]:
    """With the seconds that holding notes against each other takes."""
    seconds = 0.0

    def timed(*given: object) -> near_rows.Nearest:
        nonlocal seconds
        begun = perf_counter()
        nearest = near_rows.nearest_above(*given)  # type: ignore[arg-type]
        seconds += perf_counter() - begun
        return nearest

    with (
        patch.object(near_rows, "EXACT_UP_TO", exact_up_to),
        patch.object(RULE_MODULE, "nearest_above", timed),
    ):
        report = library.audit(only=[RULE], use_baseline=False)
    return {finding.places[0]: finding.places[1] for finding in report.findings}, seconds


def print_kept(library: Library) -> None:
    cells, quick = look(library, 0)
    whole, long = look(library, sys.maxsize)
    same = sum(cells.get(place) == other for place, other in whole.items())
    print(f"{len(whole)} findings where every pair is looked at, {long:.1f} s")
    print(f"in cells {len(cells)} of these, {quick:.1f} s; the same other note in {same / len(whole):.4f}")


if __name__ == "__main__":
    print_kept(open_library(Path(sys.argv[1])))
