"""Prints how well WordNet's words of fighting find their own glosses: python -m tests.bench.word_senses"""

from __future__ import annotations

import tempfile
from pathlib import Path

from fightnotes.index.build import build
from fightnotes.index.local_store import LocalStore
from tests.outside.word_senses import fighting_senses, library_files, print_table

if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as folder:
        senses = fighting_senses()
        for name, text in library_files(senses).items():
            path = Path(folder) / name
            path.parent.mkdir()
            path.write_text(text, encoding="utf-8")
        build(Path(folder))
        print_table(LocalStore(Path(folder)), senses)
