"""A team's archive at the command line: built by one, asked by others who have none of the files."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.conftest import RunCommand
from tests.shared_server import Server

RUNS = (
    ("find", "lead foot outside"),
    ("find", '"left hand"', "--by", "corvale", "--round", "1-4"),
    ("find", "--like", "bouts/brandaal-kazehori-2031.md:17"),
    ("tally", "concept", "round", "--fighter", "brandaal"),
    ("compare", "corvale", "brandaal"),
    ("follow", "outside-step"),
    ("timeline", "corvale-brandaal-2031"),
    ("answer", "does the outside step work?"),
    ("sheet", "corvale", "brandaal"),
    ("cut", "outside step", "--limit", "3"),
    ("propose", "--limit", "5"),
    ("suggest", "--limit", "5"),
)


@pytest.fixture(scope="module")
def archive(demo: Path, shared_server: Server) -> str:
    from fightnotes.library import open_library

    url = shared_server.new_database()
    open_library(demo, url).build()
    return url


@pytest.mark.parametrize("words", RUNS, ids=" ".join)
def test_whoever_has_no_files_is_answered_as_the_writer_is(
    demo: Path, archive: str, fightnotes: RunCommand, words: tuple[str, ...], tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:  # fmt: skip
    written = fightnotes(*words, "--library", demo, "--format", "json")
    assert written.exit_code == 0
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("FIGHTNOTES_STORE", archive)
    read = fightnotes(*words, "--format", "json")
    assert read.exit_code == 0, read.stderr
    assert read.stdout.replace(str(tmp_path), str(demo)) == written.stdout
    assert not list(tmp_path.iterdir())


def test_the_audit_compares_meanings_with_it(demo: Path, archive: str, fightnotes: RunCommand) -> None:
    words = ("audit", "--library", demo, "--format", "json", "--only", "tagged-differently")
    assert fightnotes(*words, "--store", archive).stdout == fightnotes(*words).stdout


def test_build_says_what_came_into_it(demo: Path, archive: str, fightnotes: RunCommand) -> None:
    result = fightnotes("build", "--library", demo, "--store", archive)
    assert (result.exit_code, result.stderr) == (0, "")
    assert "bouts written: 0; gone: 0; unchanged: 14" in result.stdout
    shared = json.loads(fightnotes("build", "--library", demo, "--store", archive, "--format", "json").stdout)["shared"]
    assert (shared["written"], shared["unchanged"], shared["made_anew_because"]) == (0, 14, None)
    assert json.loads(fightnotes("build", "--library", demo, "--format", "json").stdout)["shared"] is None


def test_building_needs_a_library_and_reading_none(
    archive: str, fightnotes: RunCommand, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    built = fightnotes("build", "--store", archive)
    assert (built.exit_code, built.stdout) == (2, "")
    assert "no library.yaml in" in built.stderr
    assert fightnotes("find", "jab", "--store", archive, "-n", "1").exit_code == 0
    assert fightnotes("find", "jab", "-n", "1").exit_code == 2


def test_an_empty_variable_names_no_store(demo: Path, fightnotes: RunCommand, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("FIGHTNOTES_STORE", "")
    assert fightnotes("find", "jab", "-n", "1", "--library", demo).exit_code == 0


@pytest.mark.parametrize(
    ("url", "status", "said"),
    [
        ("postgresql://me:secret@/archive?host=/nowhere", 1, "the shared store /nowhere/archive does not answer"),
        ("postgresql://me:se cret@host/archive", 2, "cannot be read: write postgresql://USER@HOST/DATABASE"),
    ],
)
def test_faults_are_told_without_the_password(
    demo: Path, fightnotes: RunCommand, url: str, status: int, said: str
) -> None:
    for words in (("find", "jab"), ("build",)):
        result = fightnotes(*words, "--library", demo, "--store", url)
        assert (result.exit_code, result.stdout) == (status, "")
        assert said in result.stderr
        assert "cret" not in result.stderr
