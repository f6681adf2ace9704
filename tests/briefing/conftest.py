"""A library of two bouts whose figures are known, built once with the small model."""

from __future__ import annotations

from pathlib import Path

import pytest

from fightnotes.library import open_library
from tests.briefing.samples import ELSEWHERE, costing, library


@pytest.fixture(scope="session")
def costly(tmp_path_factory: pytest.TempPathFactory, small_model: Path) -> Path:
    root = tmp_path_factory.mktemp("costly")
    files = library(costly=costing(), elsewhere=ELSEWHERE)
    files["library.yaml"] = f"model: {small_model}\n{files['library.yaml']}"
    for name, text in files.items():
        (root / name).parent.mkdir(exist_ok=True)
        (root / name).write_text(text, encoding="utf-8")
    assert not open_library(root).build().problems
    return root
