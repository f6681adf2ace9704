"""How many libraries are left half changed by killed edits, before and after the next command.

`python -m tests.bench.killed_edits [KILLS]` kills each kind of edit as often at random lines of the journal's own.
"""

from __future__ import annotations

import random
import sys
import tempfile
from pathlib import Path

from tests.editing.kills import MEMORY, PLANS, UNDO, serving, try_kills


def main(kills: int) -> None:
    chance = random.Random(20310308)
    print(f"{'edit':20}{'kills':>7}{'half changed':>14}{'after the next command':>24}{'scratch':>9}{'undo failed':>13}")
    with serving() as server:
        for edit in (*PLANS, UNDO):
            with tempfile.TemporaryDirectory(dir=MEMORY if MEMORY.is_dir() else None) as folder:
                tally = try_kills(
                    server, edit, Path(folder), lambda lines: chance.choices(range(1, lines + 1), k=kills)
                )
            print(
                f"{edit:20}{tally.kills:7}{tally.mixtures_left:14}{tally.mixtures_after:24}"
                f"{tally.scratch_after:9}{tally.not_taken_back:13}"
            )


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 200)
