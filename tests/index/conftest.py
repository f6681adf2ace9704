"""Small libraries, built or not."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from fightnotes.index.encoder_cache import encoder_folder
from fightnotes.index.model_source import locate_model
from fightnotes.library import open_library
from tests.conftest import MakeLibrary
from tests.index.samples import LIBRARY


@pytest.fixture
def root(make_library: MakeLibrary, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """LIBRARY, not built yet, and no encoder in the cache either."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
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
def built(built_once: Path, small_model: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A copy of LIBRARY with its store, of the same times; and a cache of its own with a copy of its encoder."""
    copy = tmp_path / "built"
    shutil.copytree(built_once, copy)
    encoder = encoder_folder(locate_model(str(small_model), copy).identity)
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    shutil.copytree(encoder, tmp_path / "cache" / "fightnotes" / encoder.name)
    return copy
