"""The library read through its store says what the files say, whatever became of them since the store was made."""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from fightnotes.index import unchanged
from fightnotes.index.local_store import LocalStore
from fightnotes.index.unchanged import read_through
from fightnotes.reading.library import BoutReading, Configuration, read_bout, read_library
from tests.index.samples import LIBRARY

BOUTS = sorted(name for name in LIBRARY if name.startswith("bouts/"))


def _nothing(root: Path) -> None:
    """As it was built."""


def _edited(root: Path) -> None:
    path = root / BOUTS[0]
    path.write_text(path.read_text(encoding="utf-8") + "\n- 0:59:58 One word more. #jab\n", encoding="utf-8")


def _touched(root: Path) -> None:
    os.utime(root / BOUTS[0], (1, 1))


def _removed(root: Path) -> None:
    (root / BOUTS[0]).unlink()


def _with_the_same_id_before(root: Path) -> None:
    shutil.copy(root / BOUTS[-1], root / "bouts/0-before.md")


def _with_the_same_id_behind(root: Path) -> None:
    shutil.copy(root / BOUTS[0], root / "bouts/z-behind.md")


def _with_another_vocabulary(root: Path) -> None:
    (root / "vocabulary.yaml").write_text("concepts: [{id: whirl, label: jab}]\n", encoding="utf-8")


def _not_readable(root: Path) -> None:
    (root / BOUTS[0]).write_bytes(b"\xff\xfe\x00")


CHANGES = (
    _nothing, _edited, _touched, _removed, _with_the_same_id_before, _with_the_same_id_behind,
    _with_another_vocabulary, _not_readable,
)  # fmt: skip


@pytest.mark.parametrize("change", CHANGES, ids=lambda change: change.__name__.strip("_"))
def test_it_says_what_the_files_say(built: Path, change: Callable[[Path], None]) -> None:
    store = LocalStore(built)
    change(built)
    assert read_through(store, built) == read_library(built)


def test_a_copy_elsewhere_is_read_through_the_same_store(built: Path, tmp_path: Path) -> None:
    copy = tmp_path / "copy"
    shutil.copytree(built, copy, ignore=shutil.ignore_patterns(".fightnotes"))
    _edited(copy)
    assert read_through(LocalStore(built), copy) == read_library(copy)


def test_only_what_changed_is_read_again(built: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    again: list[str] = []

    def reading(root: Path, file: str, configuration: Configuration) -> BoutReading:
        again.append(file)
        return read_bout(root, file, configuration)

    monkeypatch.setattr(unchanged, "read_bout", reading)
    store = LocalStore(built)
    read_through(store, built)
    assert again == []
    _touched(built)
    _edited(built)
    read_through(store, built)
    assert again == [BOUTS[0]]
