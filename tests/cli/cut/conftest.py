"""The library of `samples`, built once and copied for each test, and commands run on it."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from typer.testing import Result

from fightnotes.library import open_library
from tests.cli.cut.samples import CLOCKLESS, FIRST, GONE, VOCABULARY
from tests.conftest import RunCommand
from tests.cut_samples import make_footage


@pytest.fixture(scope="session")
def built(tmp_path_factory: pytest.TempPathFactory, small_model: Path) -> Path:
    """Three bouts: one with footage, one whose footage is missing, one with no media time at all."""
    root = tmp_path_factory.mktemp("cutting") / "library"
    for folder in ("bouts", "media"):
        (root / folder).mkdir(parents=True)
    (root / "library.yaml").write_text(f"model: {small_model}\nhandles: {{before: 1, after: 0.5}}\n", encoding="utf-8")
    (root / "vocabulary.yaml").write_text(VOCABULARY, encoding="utf-8")
    for name, text in (("first", FIRST), ("gone", GONE), ("clockless", CLOCKLESS)):
        (root / "bouts" / f"{name}.md").write_text(text, encoding="utf-8")
    make_footage(root / "media" / "first.mp4", "25", frames=1000)
    open_library(root).build()
    return root


@pytest.fixture
def library(built: Path, tmp_path: Path) -> Path:
    return Path(shutil.copytree(built, tmp_path / "library"))


@pytest.fixture
def run(library: Path, fightnotes: RunCommand) -> RunCommand:
    def on_the_library(command: str, *words: str | Path) -> Result:
        return fightnotes(command, *words, "--library", library)

    return on_the_library


@pytest.fixture
def saved(run: RunCommand, tmp_path: Path) -> Path:
    path = tmp_path / "steps.yaml"
    assert run("cut", "--tag", "outside step", "--title", "Steps", "--save", path).exit_code == 0
    return path
