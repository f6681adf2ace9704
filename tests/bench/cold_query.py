"""One query from a cold shell, whole processes: python -m tests.bench.cold_query

`fightnotes find` on the demo against a script that imports sentence-transformers, loads the model and encodes
one query; and `fightnotes --help` against `find`.
"""

from __future__ import annotations

import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

from fightnotes.index.build import build
from fightnotes.index.model_source import locate_model
from tests.bench.made_library import DEMO
from tests.bench.table import Row, alternating, print_rows

QUERY = "baiting with open guard"
BARE = """
import sys
from sentence_transformers import SentenceTransformer
SentenceTransformer(sys.argv[1], device="cpu").encode([sys.argv[2]])
"""
PROGRAM = Path(sys.executable).with_name("fightnotes")


def run(*words: str | Path) -> None:
    subprocess.run([str(word) for word in words], check=True, capture_output=True)


def measure(root: Path, times: int) -> list[Row]:
    model = locate_model(None, root).name

    def find() -> None:
        run(PROGRAM, "find", QUERY, "--library", root)

    def bare() -> None:
        run(sys.executable, "-c", BARE, model, QUERY)

    find()
    bare()
    ours, theirs = alternating(find, bare, times)
    help_time, find_time = alternating(lambda: run(PROGRAM, "--help"), find, times)
    return [
        Row("find on the demo", ours, theirs, 1 / 6, True, "s"),
        Row("--help against find", help_time, find_time, 0.25, True, "s"),
    ]


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as folder:
        copy = Path(folder) / "demo"
        shutil.copytree(DEMO, copy, ignore=shutil.ignore_patterns(".fightnotes"))
        build(copy)
        print_rows(measure(copy, 5))
