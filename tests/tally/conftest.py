"""Libraries of which every count is known, built once with the small model."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import pytest

from fightnotes.library import open_library
from tests.tally.samples import LIBRARY, VOCABULARY, trending


def built(root: Path, small_model: Path, files: Mapping[str, str]) -> Path:
    for name, text in {**files, "library.yaml": f"model: {small_model}\n"}.items():
        (root / name).parent.mkdir(parents=True, exist_ok=True)
        (root / name).write_text(text, encoding="utf-8")
    assert not open_library(root).build().problems
    return root


@pytest.fixture(scope="session")
def counted_library(tmp_path_factory: pytest.TempPathFactory, small_model: Path) -> Path:
    return built(tmp_path_factory.mktemp("counted"), small_model, LIBRARY)


@pytest.fixture(scope="session")
def rising_library(tmp_path_factory: pytest.TempPathFactory, small_model: Path) -> Path:
    """A bout in which the inside step comes more and more, and a later one in which the other fighter makes two."""
    bouts = {
        "bouts/rise.md": trending(),
        "bouts/flat.md": trending((1, 0, 0, 1), bout="flat", date="2032-01-01", who="marvane"),
    }
    return built(tmp_path_factory.mktemp("rising"), small_model, {"vocabulary.yaml": VOCABULARY, **bouts})
