"""A store of every schema that history holds (`tests/index/stores`) is opened, or said to be old and built anew."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest

from fightnotes.index.layout import SCHEMA_VERSION, Layout
from fightnotes.library import open_library
from fightnotes.search.filters import Filters
from tests.conftest import RunCommand
from tests.index.samples import files_of_store, report_of
from tests.index.stores.make import copy_library, stores, unpack

WithStore = Callable[[int], Path]

STORES = stores()
OLD = sorted(STORES.keys() - {SCHEMA_VERSION})
NO_COMMIT_HAS = {2}
ASKED = (
    ("gloves low", Filters()),
    ("steps outside the lead foot", Filters(by=("quell",))),
    ("jab", Filters(rounds=(2, 2))),
    ("waits", Filters(outcome=("ignored",))),
    ("turns on the ropes", Filters(bout=("marvane-oduro-2031",))),
    ("", Filters(tags=("low-guard",))),
)
"""Queries with filters."""
AHEAD_OR_BEHIND = {"the next": SCHEMA_VERSION + 1, "far ahead": 999, "below nothing": -1, "nothing": 0}
NO_SCHEMA: dict[str, object] = {
    "a word": "x", "nothing": None, "a fraction": 1e9, "a list": [SCHEMA_VERSION], "truth": True,
    "its number in quotes": str(SCHEMA_VERSION), "a number without end": float("inf"),
}  # fmt: skip


@pytest.fixture(scope="module")
def from_nothing(tmp_path_factory: pytest.TempPathFactory) -> Path:
    root = tmp_path_factory.mktemp("from-nothing") / "library"
    copy_library(root)
    open_library(root).build()
    return root


@pytest.fixture(scope="module")
def answers_from_nothing(from_nothing: Path) -> list[dict[str, Any]]:
    return answers(from_nothing)


@pytest.fixture
def with_store(tmp_path: Path, from_nothing: Path) -> WithStore:
    """The library with the store that a version left. `from_nothing` has put the encoder into the cache."""

    def made(version: int) -> Path:
        root = tmp_path / "library"
        copy_library(root)
        unpack(STORES[version], root)
        return root

    return made


def answers(root: Path) -> list[dict[str, Any]]:
    """What is found for each of ASKED, which must be something, with nothing to say beside it."""
    library = open_library(root)
    found = [library.find(text, filters).as_json() for text, filters in ASKED]
    assert all(each["hits"] for each in found)
    assert library.notices() == ()
    return found


def places(found: dict[str, Any]) -> list[str]:
    """Where the hits stand, best first."""
    return [f"{hit['file']}:{hit['line']}" for hit in found["hits"]]


def bytes_of(folder: Path) -> dict[str, tuple[bytes, int]]:
    """Bytes and time of every file, by its path in the folder."""
    found = (path for path in folder.rglob("*") if path.is_file())
    return {path.relative_to(folder).as_posix(): (path.read_bytes(), path.stat().st_mtime_ns) for path in found}


def texts(root: Path) -> dict[str, tuple[bytes, int]]:
    return {path: held for path, held in bytes_of(root).items() if not path.startswith(".fightnotes/")}


def rows(root: Path) -> dict[str, tuple[str, list[tuple[object, ...]]]]:
    """Of each table its SQL and its rows, but for vectors, which no two processors make alike."""
    (database,) = Layout(root).folder.glob("store-*.sqlite")
    with closing(sqlite3.connect(database)) as connection:
        tables = connection.execute(
            "SELECT name, sql FROM sqlite_master WHERE type = 'table' AND name NOT GLOB 'words_*'"
        ).fetchall()
        found = {}
        for name, sql in tables:
            columns = [column for _, column, *_ in connection.execute(f"PRAGMA table_info({name})")]
            kept = ", ".join(f'"{column}"' for column in columns if column != "vector")
            found[name] = sql, connection.execute(f"SELECT rowid, {kept} FROM {name}").fetchall()
    return found


def test_the_store_of_every_schema_is_kept() -> None:
    missing = set(range(1, SCHEMA_VERSION + 1)) - STORES.keys()
    assert missing == NO_COMMIT_HAS, "python -m tests.index.stores.make COMMIT"


@pytest.mark.parametrize("version", OLD)
def test_find_says_that_the_store_is_old(with_store: WithStore, version: int, fightnotes: RunCommand) -> None:
    root = with_store(version)
    before = files_of_store(root)
    result = fightnotes("find", "gloves low", "--library", root)
    assert (result.exit_code, result.stdout) == (1, "")
    named = "one of the first schemas" if version < 4 else f"schema {version}"
    told = f"the store has {named}, this program's is {SCHEMA_VERSION}"
    assert result.stderr.strip() == f"fightnotes: {told}: run `fightnotes build --library {root}`"
    assert files_of_store(root) == before


@pytest.mark.parametrize("version", OLD)
def test_a_build_puts_a_store_of_now_in_its_place(
    with_store: WithStore, version: int, answers_from_nothing: list[dict[str, Any]], fightnotes: RunCommand
) -> None:
    root = with_store(version)
    before = texts(root)
    result = fightnotes("build", "--library", root, "--format", "json")
    report = report_of(result)
    assert result.exit_code == 0
    assert f"this program's is {SCHEMA_VERSION}" in report["rebuilt_because"]
    assert f"building anew: {report['rebuilt_because']}" in result.stderr
    assert answers(root) == answers_from_nothing
    result = fightnotes("find", "gloves low", "--library", root)
    assert (result.exit_code, result.stderr) == (0, "")
    manifest = json.loads(Layout(root).manifest.read_bytes())
    used = {manifest["database"]["name"], manifest["vectors"]["name"]}
    assert files_of_store(root) == {"build.lock", "manifest.json", *used}
    assert texts(root) == before


def test_the_store_of_now_answers_without_a_build(
    with_store: WithStore, answers_from_nothing: list[dict[str, Any]], fightnotes: RunCommand
) -> None:
    root = with_store(SCHEMA_VERSION)
    before = bytes_of(Layout(root).folder)
    result = fightnotes("find", "gloves low", "--library", root)
    assert (result.exit_code, result.stderr) == (0, "")
    assert [places(found) for found in answers(root)] == [places(found) for found in answers_from_nothing]
    assert bytes_of(Layout(root).folder) == before
    report = report_of(fightnotes("build", "--library", root, "--format", "json"))
    assert (report["rebuilt_because"], report["embedded"]) == (None, 0)


def test_what_a_build_writes_is_what_the_store_of_now_holds(with_store: WithStore, from_nothing: Path) -> None:
    """Where this fails, raise SCHEMA_VERSION and keep a store of the new one: `tests/index/stores/make.py`."""
    assert rows(with_store(SCHEMA_VERSION)) == rows(from_nothing)


@pytest.mark.parametrize("name", AHEAD_OR_BEHIND)
def test_a_schema_that_never_was(with_store: WithStore, name: str, fightnotes: RunCommand) -> None:
    root = with_store(SCHEMA_VERSION)
    rename_schema(root, AHEAD_OR_BEHIND[name])
    told = f"the store has schema {AHEAD_OR_BEHIND[name]}, this program's is {SCHEMA_VERSION}"
    refused_then_built_anew(fightnotes, root, told)


@pytest.mark.parametrize("name", NO_SCHEMA)
def test_a_schema_that_is_no_number(with_store: WithStore, name: str, fightnotes: RunCommand) -> None:
    root = with_store(SCHEMA_VERSION)
    rename_schema(root, NO_SCHEMA[name])
    refused_then_built_anew(fightnotes, root, f"{Layout(root).manifest} is damaged")


def refused_then_built_anew(fightnotes: RunCommand, root: Path, told: str) -> None:
    result = fightnotes("find", "gloves low", "--library", root)
    assert (result.exit_code, result.stdout) == (1, "")
    assert result.stderr.strip() == f"fightnotes: {told}: run `fightnotes build --library {root}`"
    assert report_of(fightnotes("build", "--library", root, "--format", "json"))["rebuilt_because"] == told
    assert fightnotes("find", "gloves low", "--library", root).exit_code == 0


def rename_schema(root: Path, schema: object) -> None:
    manifest = Layout(root).manifest
    manifest.write_text(json.dumps(json.loads(manifest.read_bytes()) | {"schema_version": schema}))
