"""A store that cannot be used says so, a query ends with 1, and a build mends it and says why."""

from __future__ import annotations

import contextlib
import json
import shutil
import sqlite3
from collections.abc import Callable
from pathlib import Path

import pytest

from fightnotes.errors import ModelError, StoreError, StoreMissing, StoreOutdated, StoreTorn
from fightnotes.index.encoder_cache import encoder_folder
from fightnotes.index.layout import SCHEMA_VERSION, Layout
from fightnotes.index.local_store import LocalStore
from fightnotes.library import open_library
from tests.conftest import RunCommand
from tests.index.samples import SEGMENTS, TEXTS, report_of, texts_in

Damage = Callable[[Path], None]


def part(root: Path, pattern: str) -> Path:
    folder = encoder_folder("").parent if pattern.startswith("encoder-") else Layout(root).folder
    (found,) = (path for path in folder.glob(pattern) if path.suffix != ".lock")
    return found


def cut(pattern: str) -> Damage:
    """Half of the file is gone."""

    def damage(root: Path) -> None:
        path = part(root, pattern)
        path.write_bytes(path.read_bytes()[: path.stat().st_size // 2])

    return damage


def delete(pattern: str) -> Damage:
    def damage(root: Path) -> None:
        path = part(root, pattern)
        if path.is_dir():
            shutil.rmtree(path)
        else:
            path.unlink()

    return damage


def overwrite(pattern: str, begin: float, stop: float) -> Damage:
    """A stretch of the file, given in shares of its length, holds something else; its length stays."""

    def damage(root: Path) -> None:
        path = part(root, pattern)
        raw = bytearray(path.read_bytes())
        span = slice(int(begin * len(raw)), max(int(stop * len(raw)), int(begin * len(raw)) + 1))
        raw[span] = bytes(byte ^ 0xA5 for byte in raw[span])
        path.write_bytes(raw)

    return damage


def change_manifest(**values: object) -> Damage:
    def damage(root: Path) -> None:
        manifest = Layout(root).manifest
        manifest.write_text(json.dumps(json.loads(manifest.read_text()) | values))

    return damage


def fill(pattern: str, content: bytes) -> Damage:
    """The file holds something else altogether."""

    def damage(root: Path) -> None:
        part(root, pattern).write_bytes(content)

    return damage


SEEN_AT_ONCE: dict[str, tuple[Damage, type[StoreError]]] = {
    "the database is cut short": (cut("store-*"), StoreTorn),
    "the database is empty": (fill("store-*", b""), StoreTorn),
    "the database is gone": (delete("store-*"), StoreTorn),
    "the database's header is overwritten": (overwrite("store-*", 0, 0.01), StoreTorn),
    "the vectors are cut short": (cut("vectors-*"), StoreTorn),
    "the vectors are gone": (delete("vectors-*"), StoreTorn),
    "the vectors' header is overwritten": (overwrite("vectors-*", 0, 0.01), StoreTorn),
    "the manifest is cut short": (cut("manifest.json"), StoreTorn),
    "the manifest is empty": (fill("manifest.json", b""), StoreTorn),
    "the manifest is something else": (fill("manifest.json", b"[1, 2]"), StoreTorn),
    "the manifest lacks a part": (
        fill("manifest.json", json.dumps({"schema_version": SCHEMA_VERSION}).encode()),
        StoreTorn,
    ),
    "the manifest is not text": (fill("manifest.json", b"\xff\xfe\x00"), StoreTorn),
    "the schema is an older one": (change_manifest(schema_version=SCHEMA_VERSION - 1), StoreOutdated),
    "the schema is a newer one": (change_manifest(schema_version=SCHEMA_VERSION + 1, more={}), StoreOutdated),
    "the encoder is gone": (delete("encoder-*"), StoreTorn),
    "the encoder's graph is cut short": (cut("encoder-*/encoder.onnx"), StoreTorn),
    "the encoder's graph is overwritten": (overwrite("encoder-*/encoder.onnx", 0, 1), StoreTorn),
    "the encoder's graph is gone": (delete("encoder-*/encoder.onnx"), StoreTorn),
    "the encoder's weights are cut short": (cut("encoder-*/encoder.weights"), StoreTorn),
    "the encoder's weights are gone": (delete("encoder-*/encoder.weights"), StoreTorn),
    "the encoder's tokenizer is cut short": (cut("encoder-*/tokenizer.json"), StoreTorn),
    "the encoder's tokenizer is overwritten": (overwrite("encoder-*/tokenizer.json", 0, 1), StoreTorn),
    "the encoder's card is cut short": (cut("encoder-*/encoder.json"), StoreTorn),
    "the encoder's card is gone": (delete("encoder-*/encoder.json"), StoreTorn),
}
"""What every query meets."""

SEEN_BY_A_BUILD: dict[str, Damage] = {
    "a tenth of the database is overwritten": overwrite("store-*", 0.2, 0.3),
    "another tenth of the database is overwritten": overwrite("store-*", 0.8, 0.9),
    "one byte of the database is another": overwrite("store-*", 0.7, 0.7),
    "one byte of the vectors is another": overwrite("vectors-*", 0.7, 0.7),
    "one byte of the encoder's graph is another": overwrite("encoder-*/encoder.onnx", 0.7, 0.7),
    "one byte of the encoder's weights is another": overwrite("encoder-*/encoder.weights", 0.7, 0.7),
    "one byte of the tokenizer is another": overwrite("encoder-*/tokenizer.json", 0.7, 0.7),
}
"""What a query need not meet, for it does not read every byte."""


@pytest.mark.parametrize("name", SEEN_AT_ONCE)
def test_a_query_says_what_is_wrong_and_what_to_do(built: Path, name: str, fightnotes: RunCommand) -> None:
    damage, kind = SEEN_AT_ONCE[name]
    damage(built)
    with pytest.raises(kind, match="fightnotes build"):
        open_library(built).find("low gloves")
    result = fightnotes("find", "low gloves", "--library", built)
    assert (result.exit_code, result.stdout) == (1, "")
    assert result.stderr.startswith("fightnotes: ")
    assert "fightnotes build" in result.stderr


@pytest.mark.parametrize("name", [*SEEN_AT_ONCE, *SEEN_BY_A_BUILD])
def test_a_build_mends_it_and_says_why(built: Path, name: str, fightnotes: RunCommand) -> None:
    whole = texts_in(built)
    damage = SEEN_AT_ONCE[name][0] if name in SEEN_AT_ONCE else SEEN_BY_A_BUILD[name]
    damage(built)
    result = fightnotes("build", "--library", built, "--format", "json")
    report = report_of(result)
    assert result.exit_code == 0
    if "encoder" in name or "tokenizer" in name:
        assert report["rebuilt_because"] is None
        assert report["embedded"] == 0
        assert "exporting the encoder" in result.stderr
    else:
        assert f"building anew: {report['rebuilt_because']}" in result.stderr
        assert (report["segments"], report["embedded"]) == (SEGMENTS, TEXTS)
    assert texts_in(built) == whole
    assert fightnotes("find", "low gloves", "--library", built).exit_code == 0


@pytest.mark.parametrize("share", [step / 40 for step in range(1, 40)])
def test_wherever_the_database_is_overwritten_a_query_answers_or_says_so(built: Path, share: float) -> None:
    """Never with an error of SQLite's own, nor one of the models'."""
    overwrite("store-*", share, share + 0.04)(built)
    with contextlib.suppress(StoreTorn):
        assert open_library(built).find("outside step low gloves").query.text == "outside step low gloves"


def test_a_library_that_was_never_built(root: Path, fightnotes: RunCommand) -> None:
    with pytest.raises(StoreMissing):
        LocalStore(root)
    result = fightnotes("find", "jab", "--library", root)
    assert result.exit_code == 1
    assert f"fightnotes build --library {root}" in result.stderr


def test_the_store_may_be_deleted_at_any_time(built: Path) -> None:
    shutil.rmtree(built / ".fightnotes")
    assert open_library(built).build().embedded == TEXTS


def test_another_model_builds_anew_and_says_why(
    built: Path, small_model: Path, tmp_path: Path, fightnotes: RunCommand
) -> None:
    other = tmp_path / "other-model"
    shutil.copytree(small_model, other)
    (other / "README.md").write_text("another")
    (built / "library.yaml").write_text(f"model: {other}\n")
    result = fightnotes("build", "--library", built, "--format", "json")
    report = report_of(result)
    assert report["embedded"] == TEXTS
    assert "model" in report["rebuilt_because"]
    assert f"building anew: {report['rebuilt_because']}" in result.stderr


def test_a_model_that_changed_in_its_folder_builds_anew(built: Path, small_model: Path, tmp_path: Path) -> None:
    own = tmp_path / "own-model"
    shutil.copytree(small_model, own)
    (built / "library.yaml").write_text(f"model: {own}\n")
    open_library(built).build()
    (own / "README.md").write_text("retrained")
    assert "model" in (open_library(built).build().rebuilt_because or "")


def test_a_model_that_is_not_there_leaves_the_store(built: Path, fightnotes: RunCommand) -> None:
    (built / "library.yaml").write_text("model: nowhere/to-be-found\n")
    with pytest.raises(ModelError, match="nowhere/to-be-found"):
        open_library(built).build()
    result = fightnotes("build", "--library", built)
    assert (result.exit_code, result.stdout) == (1, "")
    assert "nothing is downloaded" in result.stderr
    assert len(texts_in(built)) == SEGMENTS


def test_a_folder_that_is_no_model(built: Path, tmp_path: Path) -> None:
    (tmp_path / "no-model").mkdir()
    (built / "library.yaml").write_text(f"model: {tmp_path / 'no-model'}\n")
    with pytest.raises(ModelError, match="no-model"):
        open_library(built).build()
    assert len(texts_in(built)) == SEGMENTS


def test_a_damaged_model_folder(built: Path, small_model: Path, tmp_path: Path) -> None:
    own = tmp_path / "own-model"
    shutil.copytree(small_model, own)
    weights = own / "model.safetensors"
    weights.write_bytes(weights.read_bytes()[:1000])
    (built / "library.yaml").write_text(f"model: {own}\n")
    with pytest.raises(ModelError, match="own-model"):
        open_library(built).build()
    assert len(texts_in(built)) == SEGMENTS


def test_what_a_build_that_was_cut_off_left_is_taken_away(built: Path) -> None:
    folder = Layout(built).folder
    (folder / "store-2.part").write_bytes(b"half a database")
    (folder / "vectors-2.faiss").write_bytes(b"vectors without a manifest")
    (folder / "encoder-0123456789abcdef").mkdir()  # where earlier versions kept it
    (built / "bouts/second.md").unlink()
    open_library(built).build()
    names = {path.name for path in folder.iterdir()}
    assert {"store-3.sqlite", "vectors-3.faiss"} < names
    assert not any(name.endswith(".part") or "-2." in name or name.startswith("encoder-") for name in names)


def test_a_store_is_read_where_nothing_can_be_written(built: Path) -> None:
    """A read-only connection leaves no journal, lock or shared-memory file beside the database."""
    before = {path: path.stat().st_mtime_ns for path in Layout(built).folder.rglob("*")}
    library = open_library(built)
    library.find("low gloves")
    with pytest.raises(StoreError, match="readonly"):
        library.store.connection.execute("DELETE FROM segments")
    library.store.close()
    assert {path: path.stat().st_mtime_ns for path in Layout(built).folder.rglob("*")} == before


def test_a_finished_database_passes_sqlites_own_check(built: Path) -> None:
    with sqlite3.connect(part(built, "store-*")) as connection:
        assert connection.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
        connection.execute("INSERT INTO words (words) VALUES ('integrity-check')")
