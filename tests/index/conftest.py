"""Small libraries, built or not."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from fightnotes.library import open_library
from tests.conftest import MakeLibrary
from tests.index.samples import LIBRARY


@pytest.fixture
def root(make_library: MakeLibrary) -> Path:
    """LIBRARY, not built yet."""
    return make_library(LIBRARY)


@pytest.fixture(scope="session")
def built_once(tmp_path_factory: pytest.TempPathFactory, small_model: Path) -> Path:
    folder = tmp_path_factory.mktemp("built")
    for name, text in {"library.yaml": f"model: {small_model}\n", **LIBRARY}.items():
        path = folder / name
        path.parent.mkdir(exist_ok=True)
        path.write_text(text, encoding="utf-8")
    open_library(folder).build()
    return folder


@pytest.fixture
def built(built_once: Path, tmp_path: Path) -> Path:
    """A copy of LIBRARY with its store, of the same times."""
    copy = tmp_path / "built"
    shutil.copytree(built_once, copy)
    return copy
