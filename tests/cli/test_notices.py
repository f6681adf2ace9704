"""An empty or changed vocabulary is said by every command that answers from it, once, on standard error."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.conftest import MakeLibrary, RunCommand

NOTE = "---\nbout: a\ntitle: A\nmedia: {file: a.mp4, rate: 25}\n---\n- 0:10 A jab. #jab\n- 0:20 Two jabs. #jab\n"
EMPTY = "the vocabulary is empty: see `fightnotes propose`"
CHANGED = "the vocabulary changed since the last build: run `fightnotes build`"
COMMANDS = (("find", "jab"), ("suggest",), ("propose",), ("tally", "concept"), ("follow",), ("answer", "jabs?"), 
            ("cut", "jab"), ("audit",),
            ("vocabulary", "show"), ("suggest", "--take-above", "0.9"))  # fmt: skip


@pytest.fixture
def root(make_library: MakeLibrary, fightnotes: RunCommand) -> Path:
    root = make_library({"bouts/a.md": NOTE})
    assert fightnotes("build", "--library", root).exit_code == 0
    return root


def said(fightnotes: RunCommand, root: Path, words: tuple[str, ...]) -> tuple[int, int]:
    """How often the two notices stand on standard error."""
    result = fightnotes(*words, "--library", root)
    assert EMPTY not in result.stdout
    assert CHANGED not in result.stdout
    return result.stderr.count(EMPTY), result.stderr.count(CHANGED)


@pytest.mark.parametrize("words", COMMANDS, ids=" ".join)
def test_empty_then_changed_then_neither(fightnotes: RunCommand, root: Path, words: tuple[str, ...]) -> None:
    assert said(fightnotes, root, words) == (1, 0)
    (root / "vocabulary.yaml").write_text("concepts:\n- {id: jab, label: jab}\n")
    assert said(fightnotes, root, words) == (0, 1)
    assert fightnotes("build", "--library", root).exit_code == 0
    assert said(fightnotes, root, words) == (0, 0)
    (root / "vocabulary.yaml").write_text("")
    assert said(fightnotes, root, words) == (0, 1)
    (root / "vocabulary.yaml").unlink()
    assert said(fightnotes, root, words) == (0, 1)


def test_settings_that_changed_count_as_a_file(fightnotes: RunCommand, root: Path) -> None:
    with (root / "library.yaml").open("a") as settings:
        settings.write("title: Mine\n")
    assert "files changed since the last build: 1" in fightnotes("find", "jab", "--library", root).stderr
    assert fightnotes("build", "--library", root).exit_code == 0
    assert "changed since" not in fightnotes("find", "jab", "--library", root).stderr


@pytest.mark.parametrize("words", [("audit",), ("vocabulary", "show")], ids=" ".join)
def test_without_an_index_an_empty_vocabulary_is_said_all_the_same(
    fightnotes: RunCommand, make_library: MakeLibrary, words: tuple[str, ...]
) -> None:
    assert said(fightnotes, make_library({"bouts/a.md": NOTE}), words) == (1, 0)
