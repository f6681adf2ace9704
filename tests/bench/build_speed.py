"""Texts a second of a build against bare sentence-transformers: python -m tests.bench.build_speed [--segments N]

The build reads, embeds and writes a library whose texts differ from one another; the reference encodes the same
texts with a model that is loaded already. The export of the encoder, once in a library's life, is told apart.
"""

from __future__ import annotations

import argparse
import shutil
import tempfile
from pathlib import Path

from sentence_transformers import SentenceTransformer

from fightnotes.index.build import build
from fightnotes.index.layout import Layout
from fightnotes.index.local_store import LocalStore
from fightnotes.index.model_source import locate_model
from fightnotes.language.passages import passages_of
from tests.bench.made_library import make_library
from tests.bench.table import Row, alternating, print_rows, timed


def measure(root: Path, segments: int, times: int) -> list[Row]:
    make_library(root, segments)
    first = timed(lambda: build(root))
    whole = {segment.text for segment in LocalStore(root).every_segment().values()}
    pieces = {text[one.begin : one.stop].strip() for text in whole for one in passages_of(text)}
    texts = list(whole | pieces)
    model = SentenceTransformer(locate_model(None, root).name, device="cpu")

    def build_again() -> None:
        layout = Layout(root)
        for path in layout.folder.glob("*.*"):
            path.unlink()
        assert build(root).embedded == len(texts)

    ours, theirs = alternating(build_again, lambda: model.encode(texts, show_progress_bar=False), times)
    print(f"{len(whole)} texts, {len(pieces)} passages; the first build, with the encoder's export, took {first:.1f} s")
    return [Row("texts a second, build", len(texts) / ours, len(texts) / theirs, 0.95, False, "/s")]


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--segments", type=int, default=3000)
    parser.add_argument("--times", type=int, default=3)
    arguments = parser.parse_args()
    folder = Path(tempfile.mkdtemp())
    try:
        print_rows(measure(folder / "library", arguments.segments, arguments.times))
    finally:
        shutil.rmtree(folder)
